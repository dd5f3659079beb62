#pragma once
/// What the subcommands share: options that several take, read as text and handed to the library's own
/// parser. No physics here.

#include <optional>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include <libdrag/quantity.hpp>
#include <libdrag/report.hpp>

namespace dragcalc {

/// An option's text, absent if not given.
using Text = std::optional<std::string>;

template <class Q> std::optional<Q> parsed(char const* field, Text const& text) {
    if (!text) return std::nullopt;
    return libdrag::parse<Q>(field, *text);
}

/// --swimmer, --sex, --height, --mass, --dim, --incline, --k: file first, command line wins.
struct SwimmerOptions {
    Text file, sex, height, mass, incline, k;
    std::vector<std::string> dimensions;

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Swimmer swimmer() const;
};

/// --json, --csv.
struct FormOptions {
    bool json = false, csv = false;

    void add(CLI::App& app);
    /// The form asked for, folded to the terminal's width; 80 columns where the output is none.
    [[nodiscard]] libdrag::report::Style form() const;
};

/// --draws, --seed, --level, --threads.
struct MonteCarloOptions {
    std::string draws = std::to_string(libdrag::Options{}.draws),
                seed = std::to_string(libdrag::Options{}.seed),
                level = libdrag::format_number(libdrag::Options{}.level, 2), threads = "0";

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Options options() const;
};

/// --set key=value[+-sd]: another value for a published number.
struct CoefficientOptions {
    std::vector<std::string> replaced;

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Coefficients coefficients() const;
};

/// --water fresh|sea, --temperature.
struct WaterOptions {
    std::string kind = "fresh";
    Text temperature;

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Water water() const;
};

/// What describes a swim: the swimmer, --stroke, --method, --tilt-model, --posture and the joints, the water, --set.
struct SwimOptions {
    SwimmerOptions swimmer;
    WaterOptions water;
    CoefficientOptions coefficients;
    std::string stroke = "crawl", method = "planimetric", tilt_model = "blend", posture = "streamlined";
    Text leg_angle, knee_bend, leg_spread, arm_angle, arm_spread, roll;

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Swim swim() const;
};

// One file per subcommand; each prints to stdout.
void add_cost(CLI::App& app);
void add_drag(CLI::App& app);
void add_body(CLI::App& app);
void add_stroke(CLI::App& app);
void add_evidence(CLI::App& app);
void add_sources(CLI::App& app);

} // namespace dragcalc
