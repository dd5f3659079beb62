/// The manual page and what shells complete, from the same tables as --help.

#include "command.hpp"

#include <algorithm>
#include <cstdio>

namespace dragcalc {

using namespace libdrag;

namespace {

std::string replaced(std::string text, std::string const& what, std::string const& by) {
    for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += by.size())
        text.replace(at, what.size(), by);
    return text;
}
std::string spelled(Option const& option) {
    std::string const name = replaced(option.name, "_", "-");
    return option.takes == Option::Takes::place ? name : "--" + name;
}
/// Each option of a command once, those with names only.
std::vector<Option> options_of(Command const& command) {
    std::vector<Option> out;
    for (Group const& group : command.groups)
        for (Option const& option : group.options)
            if (option.takes != Option::Takes::place) out.push_back(option);
    return out;
}

/// Text in a page: no line of it is a request, and a hyphen is one to be typed.
std::string in_page(std::string text) {
    text = replaced(replaced(std::move(text), "\\", "\\e"), "-", "\\-");
    return text.empty() || (text.front() != '.' && text.front() != '\'') ? text : "\\&" + text;
}

std::string manual(std::deque<Command> const& commands) {
    std::string out =
        ".TH DRAGCALC 1 \"\" \"libdrag " DRAGCALC_VERSION "\"\n.SH NAME\n"
        "dragcalc \\- what a swimmer's drag costs, in seconds with an honest interval\n"
        ".SH SYNOPSIS\n.B dragcalc\n.I command\n.RI [ options ]\n"
        ".SH DESCRIPTION\nCautions about breathing, worn weight and bodies outside those measured "
        "stand below every answer, and in its JSON and CSV.\n";
    for (Command const& command : commands) {
        out += ".SH DRAGCALC " + in_page(command.name) + "\n" + in_page(command.description) + "\n";
        for (std::string const& example : command.examples)
            out += ".PP\n.EX\n" + in_page("dragcalc " + example) + "\n.EE\n";
        for (Group const& group : command.groups) {
            out += ".SS " + in_page(group.heading) + "\n";
            for (Option const& option : group.options)
                out += ".TP\n.B " + in_page(spelled(option)) + "\n" + in_page(option.help) + "\n";
        }
        out += ".PP\n" + in_page(command.closing) + "\n";
    }
    return out
           + ".SH EXIT STATUS\n0 for an answer, 2 for bad input (one line on standard error names the field, "
             "the "
             "value and what is allowed), 1 where the answer could not be written.\n";
}

std::string names_of(std::deque<Command> const& commands) {
    std::string out;
    for (Command const& command : commands) out += (out.empty() ? "" : " ") + command.name;
    return out;
}

std::string for_bash(std::deque<Command> const& commands) {
    std::string out = "_dragcalc() {\n    local word=${COMP_WORDS[COMP_CWORD]} options=\n"
                      "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        COMPREPLY=($(compgen -W \""
                      + names_of(commands)
                      + "\" -- \"$word\"))\n        return\n    fi\n    case ${COMP_WORDS[1]} in\n";
    for (Command const& command : commands) {
        out += "    " + command.name + ") options=\"";
        for (Option const& option : options_of(command)) out += spelled(option) + " ";
        out += "--help --help-all\" ;;\n";
    }
    return out
           + "    esac\n    case $word in\n    -*) COMPREPLY=($(compgen -W \"$options\" -- \"$word\")) ;;\n"
             "    *) COMPREPLY=($(compgen -f -- \"$word\")) ;;\n    esac\n}\ncomplete -F _dragcalc "
             "dragcalc\n";
}

std::string for_zsh(std::deque<Command> const& commands) {
    auto const quoted = [](std::string const& text) {
        std::string out = replaced(replaced(text, "'", "'\\''"), ":", "\\:");
        return replaced(replaced(out, "[", "\\["), "]", "\\]");
    };
    std::string out = "#compdef dragcalc\n_dragcalc() {\n    local -a commands\n    commands=(\n";
    for (Command const& command : commands)
        out += "        '" + command.name + ":" + quoted(command.description) + "'\n";
    out +=
        "    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n        return\n    fi\n"
        "    case $words[2] in\n";
    for (Command const& command : commands) {
        out += "    " + command.name + ")\n        _arguments \\\n";
        for (Option const& option : options_of(command))
            out += "            '*" + spelled(option) + "[" + quoted(option.help) + "]"
                   + (option.takes == Option::Takes::nothing ? "" : ":value:_files") + "' \\\n";
        out += "            '*:file:_files'\n        ;;\n";
    }
    return out + "    esac\n}\n_dragcalc \"$@\"\n";
}

std::string for_fish(std::deque<Command> const& commands) {
    auto const quoted = [](std::string const& text) {
        return "'" + replaced(replaced(text, "\\", "\\\\"), "'", "\\'") + "'";
    };
    std::string out;
    for (Command const& command : commands) {
        out += "complete -c dragcalc -n __fish_use_subcommand -f -a " + command.name + " -d "
               + quoted(command.description) + "\n";
        for (Option const& option : options_of(command))
            out += "complete -c dragcalc -n '__fish_seen_subcommand_from " + command.name + "' -l "
                   + spelled(option).substr(2) + (option.takes == Option::Takes::nothing ? "" : " -r")
                   + " -d " + quoted(option.help) + "\n";
    }
    return out;
}

} // namespace

void add_manual(CLI::App& app) {
    app.add_subcommand("manual", "this program's manual page, to be read by man or installed")->callback([] {
        std::fputs(manual(commands()).c_str(), stdout);
    });
    auto const shell = std::make_shared<std::string>();
    auto* const completion = app.add_subcommand("completion", "what a shell completes: bash, zsh or fish");
    completion->add_option("shell", *shell);
    completion->callback([shell] {
        if (*shell == "bash") std::fputs(for_bash(commands()).c_str(), stdout);
        else if (*shell == "zsh") std::fputs(for_zsh(commands()).c_str(), stdout);
        else if (*shell == "fish") std::fputs(for_fish(commands()).c_str(), stdout);
        else throw InvalidInput("shell", shell->empty() ? "nothing" : printable(*shell), "bash, zsh or fish");
    });
}

} // namespace dragcalc
