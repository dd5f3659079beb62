#pragma once
/// What the subcommands share: a table of options that become fields. No physics here, and no rule: the library
/// reads the fields and says what is wrong with them.

#include <deque>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include <libdrag/report.hpp>
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
constexpr auto values = Option::Takes::values, nothing = Option::Takes::nothing;

/// Options under one heading of the help.
struct Group {
    std::string heading;
    std::vector<Option> options;
};

// What several commands take.
/// One or several, each with a time.
Group races_group();
Group swimmer_group();
Group record_group();
Group squad_group();
Group water_group();
Group posture_group();
Group worn_group();
Group floating_group();
Group study_group(libdrag::Options const& usual = {});
Group output_group();
/// The same with --plot, for an answer that has a picture.
Group picture_group();
/// --stroke, --method, --tilt-model.
std::vector<Option> model_options();

struct Command {
    std::string name, description;
    std::vector<std::string> examples;
    std::vector<Group> groups;
    std::string closing; ///< last line of the help
};
/// All that were added, in order; none moves.
std::deque<Command>& commands();
/// Adds a subcommand that prints the answer to the question of its name.
void add(CLI::App& app, Command command);

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

// One file per subcommand.
void add_cost(CLI::App& app);
void add_compare(CLI::App& app);
void add_drag(CLI::App& app);
void add_body(CLI::App& app);
void add_stroke(CLI::App& app);
void add_balance(CLI::App& app);
void add_aids(CLI::App& app);
void add_angle(CLI::App& app);
void add_glide(CLI::App& app);
void add_loaded(CLI::App& app);
void add_evidence(CLI::App& app);
void add_log(CLI::App& app);
void add_practice(CLI::App& app);
void add_progress(CLI::App& app);
void add_card(CLI::App& app);
void add_measured(CLI::App& app);
void add_trials(CLI::App& app);
void add_design(CLI::App& app);
void add_sources(CLI::App& app);
void add_manual(CLI::App& app);

} // namespace dragcalc
