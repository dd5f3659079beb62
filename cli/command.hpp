#pragma once
/// What the subcommands share: a table of options that become fields. No physics here, and no rule: the library
/// reads the fields and says what is wrong with them.

#include <deque>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include <libdrag/request.hpp>

namespace dragcalc {

using libdrag::request::Fields;

/// One option, called --name with hyphens, which gives the field `name`.
struct Option {
    enum class Takes { value, values, nothing, place };
    std::string name, help;
    Takes takes = Takes::value; ///< `place` is a value without an option's name
    bool brief = false;         ///< in the short help
};

/// Options under one heading of the help.
struct Group {
    std::string heading;
    std::vector<Option> options;
};

struct Command {
    std::string name, description;
    std::vector<std::string> examples;
    std::vector<Group> groups;
    std::string closing; ///< last line of the help
};
/// All that ask the library, in the order of the help.
std::deque<Command> const& commands();
/// Adds a subcommand that prints the answer to the question of its name.
void add(CLI::App& app, Command const& command);
/// Adds `manual` and `completion`.
void add_manual(CLI::App& app);

/// What the file of defaults says beyond what was typed: $DRAGCALC_DEFAULTS, or dragcalc.json in the folder for
/// configuration. Its names are those of options, with "output" (words, json, csv) and "units", which go to bare numbers.
/// @throws InvalidInput for a file that is no JSON object, and for names that no command takes
void add_defaults(Fields& fields, Command const& command);

/// Rows of a squad that have no answer, while the others have theirs.
struct Refused {
    std::vector<std::string> lines;
    explicit Refused(std::vector<std::string> of_rows) : lines(std::move(of_rows)) {}
};

/// Help of the program: every command with an example and its purpose.
class Overview : public CLI::Formatter {
public:
    std::string make_help(CLI::App const* app, std::string, CLI::AppFormatMode) const override;
};

} // namespace dragcalc
