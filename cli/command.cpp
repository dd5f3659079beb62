#include "command.hpp"

#include <algorithm>
#include <cstdio>
#include <memory>
#include <set>

#include <sys/ioctl.h>
#include <unistd.h>

#include <libdrag/answer.hpp>

namespace dragcalc {

using namespace libdrag;

namespace {

std::string spelled(std::string name) {
    std::replace(name.begin(), name.end(), '_', '-');
    return name;
}

/// Text after what the first line begins with, folded to 80 characters where `at` stands, which is kept but for
/// its space; `end` closes a line that goes on.
std::string folded(std::string const& begin, std::size_t indent, std::string const& text,
                   std::string const& at, std::string const& end = {}) {
    constexpr std::size_t width = 80;
    std::string out, line = begin;
    bool fresh = true;
    for (std::size_t start = 0; start < text.size();) {
        std::size_t const stop = std::min(text.find(at, start), text.size());
        std::string const piece = text.substr(start, stop - start);
        if (!fresh && line.size() + 1 + piece.size() + end.size() > width) {
            out += line + end + "\n";
            line = std::string(indent, ' ');
            fresh = true;
        }
        line += (fresh ? "" : " ") + piece;
        fresh = false;
        start = stop + 1;
    }
    return out + line + "\n";
}

/// --help shows what most calls need, --help-all everything.
class Help : public CLI::Formatter {
public:
    explicit Help(Command const& command) : command_(command) {}

    std::string make_help(CLI::App const*, std::string, CLI::AppFormatMode mode) const override {
        bool const all = mode == CLI::AppFormatMode::All;
        std::string out = folded("dragcalc " + command_.name + ": ", 4, command_.description, " ") + "\n";
        for (std::string const& example : command_.examples)
            out += folded("  dragcalc ", 6, example, " --", " \\");
        for (Group const& group : command_.groups) {
            std::string lines;
            for (Option const& option : group.options)
                if (all || option.brief) lines += line(option);
            if (!lines.empty()) out += "\n" + group.heading + "\n" + lines;
        }
        out += "\n";
        if (!all) out += "Every option: dragcalc " + command_.name + " --help-all\n";
        return out + folded({}, 0, command_.closing, " ");
    }

private:
    /// The option, and what it is for in a column of its own.
    static std::string line(Option const& option) {
        constexpr std::size_t column = 22;
        std::string out = "  " + (option.takes == Option::Takes::place ? "" : std::string("--"))
                          + spelled(option.name) + " ";
        out.resize(std::max(out.size(), column), ' ');
        return folded(out, column, option.help, " ");
    }

    Command const& command_;
};

void add_option(CLI::App& app, Option const& option, std::shared_ptr<Fields> const& fields) {
    std::string const name = option.name;
    auto const one = [fields, name](std::string const& text) { fields->add(name, text); };
    auto const each = [fields, name](std::vector<std::string> const& texts) {
        for (std::string const& text : texts) fields->add(name, text);
    };
    switch (option.takes) {
    case Option::Takes::value: app.add_option_function<std::string>("--" + spelled(name), one); return;
    case Option::Takes::place: app.add_option_function<std::string>(name, one); return;
    case Option::Takes::values:
        app.add_option_function<std::vector<std::string>>("--" + spelled(name), each)
            ->allow_extra_args(false);
        return;
    case Option::Takes::nothing:
        app.add_flag_callback("--" + spelled(name), [fields, name] { fields->flag(name); });
        return;
    }
}

/// One line on a terminal, in place.
void show_progress(double done) {
    static int shown = -1;
    int const percent = static_cast<int>(100.0 * done);
    if (percent == shown) return;
    shown = percent;
    if (percent < 100) std::fprintf(stderr, "\r%3d %%", percent);
    else std::fputs("\r     \r", stderr);
    std::fflush(stderr);
}

/// As the fields ask for it, in words as wide as the terminal.
report::Style style_of(Fields const& fields) {
    bool const json = fields.has("json"), csv = fields.has("csv");
    if (json && csv) throw InvalidInput("json, csv", "both", "one of them");
    report::Style style = json ? report::Form::json : csv ? report::Form::csv : report::Form::words;
    constexpr std::size_t narrowest = 40, widest = 100; // what stays readable
    winsize window{};
    if (isatty(STDOUT_FILENO) != 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &window) == 0 && window.ws_col > 0)
        style.width = std::clamp<std::size_t>(window.ws_col, narrowest, widest);
    return style;
}

} // namespace

std::string Overview::make_help(CLI::App const* app, std::string, CLI::AppFormatMode) const {
    std::string out = folded({}, 0, app->get_description(), " ")
                      + "\n  dragcalc cost --event \"100 free\" --time 1:02.40 --hip-drop 4deg\n\n";
    for (CLI::App const* command : app->get_subcommands([](CLI::App const*) { return true; })) {
        std::string begin = "  " + command->get_name();
        begin.resize(std::max<std::size_t>(13, begin.size() + 1), ' ');
        out += folded(begin, 13, command->get_description(), " ");
    }
    return out + "\nOptions of a command: dragcalc cost --help\nVersion: dragcalc --version\n"
           + folded(
               {}, 0,
               "Cautions about breathing, worn weight and bodies outside those measured stand below every "
               "answer, and in its JSON and CSV.",
               " ");
}

void add(CLI::App& app, Command const& command) {
    auto* const sub = app.add_subcommand(command.name, command.description);
    auto const fields = std::make_shared<Fields>();
    sub->preparse_callback([sub, fields, &command](std::size_t) { // of some twenty commands one is asked
        for (Group const& group : command.groups)
            for (Option const& option : group.options) add_option(*sub, option, fields);
    });
    sub->formatter(std::make_shared<Help>(command));
    sub->set_help_all_flag("--help-all");
    sub->callback([fields, &command] {
        add_defaults(*fields, command);
        report::Style const style = style_of(*fields);
        Answer const given =
            answer(command.name, *fields, style, isatty(STDERR_FILENO) != 0 ? Done(&show_progress) : Done());
        std::fputs(given.text.c_str(), stdout);
        if (!given.refused.empty()) throw Refused(given.refused);
    });
}

} // namespace dragcalc
