#include "command.hpp"

#include <algorithm>
#include <cstdio>
#include <exception>
#include <memory>
#include <new>
#include <string>

namespace {

using libdrag::InvalidInput;
using libdrag::printable;
using libdrag::UnknownKey;

std::string in_words(std::string option) {
    std::replace(option.begin(), option.end(), '-', ' ');
    return option;
}

/// The option parser's complaints in the form of all others: name, value, what is allowed.
std::string in_our_words(CLI::App const& app, CLI::ParseError const& error) {
    auto const chosen = app.get_subcommands();
    auto const left = app.remaining(true);
    std::string const help =
        chosen.empty() ? "dragcalc --help" : "dragcalc " + chosen.front()->get_name() + " --help";
    std::vector<std::string> names;
    if (chosen.empty())
        for (auto const* command : app.get_subcommands([](CLI::App const*) { return true; }))
            names.push_back(command->get_name());
    else
        for (auto const* option : chosen.front()->get_options())
            for (auto const& name : option->get_lnames()) names.push_back("--" + name);
    std::vector<std::string_view> const candidates(names.begin(), names.end());

    std::string const message = error.what();
    if (!left.empty()) {
        std::string const extra = left.front().substr(0, left.front().find('='));
        bool const is_option = extra.size() > 1 && extra.front() == '-';
        if (!is_option && !chosen.empty())
            return InvalidInput("argument", printable(left.front()),
                                "options as '" + help + "' lists them; a value with a space needs quotes")
                .what();
        std::string const near = libdrag::nearest(extra, candidates);
        return UnknownKey(is_option ? "option" : "command", printable(extra),
                          near.empty() ? "one that '" + help + "' lists" : near)
            .what();
    }
    if (chosen.empty()) return InvalidInput("command", "nothing", "one that '" + help + "' lists").what();
    if (dynamic_cast<CLI::ArgumentMismatch const*>(&error) != nullptr && message.substr(0, 2) == "--") {
        std::string const name = message.substr(2, message.find_first_of(": ") - 2);
        bool const missing = message.find("missing") != std::string::npos;
        return InvalidInput(in_words(name), missing ? "nothing" : "more than one value",
                            "one value, as '" + help + "' shows")
            .what();
    }
    return message;
}

void complain(std::string message) {
    // Whatever was typed, one line and no control characters.
    std::replace_if(
        message.begin(), message.end(),
        [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, ' ');
    std::fprintf(stderr, "dragcalc: %s\n", message.c_str());
}

/// Where to look when no known name comes near.
std::string unknown(UnknownKey const& error) {
    std::string const message = error.what();
    if (message.back() == '?' || (error.kind() != "source" && error.kind() != "body dimension"))
        return message;
    return "unknown " + error.kind() + " '" + printable(error.key()) + "'; 'dragcalc "
           + (error.kind() == "source" ? "sources" : "body") + "' lists them";
}

} // namespace

int main(int argc, char** argv) {
    CLI::App app{"What a swimmer's drag costs: seconds for degrees of hip drop, with an honest interval."};
    app.name("dragcalc");
    app.formatter(std::make_shared<dragcalc::Overview>());
    app.set_version_flag("--version", DRAGCALC_VERSION);
    app.require_subcommand(1);
    for (dragcalc::Command const& command : dragcalc::commands()) dragcalc::add(app, command);
    dragcalc::add_manual(app);
    constexpr int bad_input = 2, no_output = 1;
    try {
        app.parse(argc, argv);
        if (std::fflush(stdout) == 0 && std::ferror(stdout) == 0) return 0;
        complain("the answer could not be written to the output");
        return no_output;
    } catch (dragcalc::Refused const& rows) {
        std::fflush(stdout);
        for (std::string const& line : rows.lines) complain(line);
    } catch (CLI::ParseError const& error) {
        if (error.get_exit_code() == 0) return app.exit(error);
        complain(in_our_words(app, error));
    } catch (UnknownKey const& error) {
        complain(unknown(error));
    } catch (std::bad_alloc const&) {
        complain("not enough memory: fewer --draws need less");
    } catch (std::exception const& error) {
        complain(error.what());
    }
    return bad_input;
}
