#pragma once
/// @file
/// Results in words, JSON and CSV. What a coach reads, what another tool parses and what a spreadsheet
/// opens come from here, whichever face asks; the faces only choose which.
///
/// Every answer says whom it is about, what was assumed, what it was computed with (tilt model, replaced
/// coefficients, version, seed, draws) and what to be careful about, in all three forms.
///
/// JSON of a cost, whatever was asked:
///
///     { "events": [ ... ],         one object per event; empty where a drop is asked for
///       "question": null,          or { "asked": "what_if", "rungs": [ events ] },
///                                  { "asked": "want", "wanted_s", "chance", "hip_drop_left_deg", ... },
///                                  { "asked": "time_without", "time_without_s", "hip_drop_deg", ... }
///       "swimmer": {}, "tilt_model": "", "replaced": [], "version": "", "seed": 1, "draws": 20000 }
///
/// "when" says of an event and of each of its legs when the hips are low: "breath", "always", or for a leg
/// that no breath lowers "never".

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/sources.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/swimmer.hpp>

namespace libdrag::report {

enum class Form { words, json, csv };

/// How an answer is written: words are plain ASCII, their lines fold at `width` columns.
struct Style {
    static constexpr std::size_t usual_width = 80;

    Form form;
    std::size_t width;
    /// A form alone is a style: `costs(results, Form::csv)`.
    Style(Form chosen, std::size_t columns = usual_width) : form(chosen), width(columns) {}
};

/// Of the library, as "0.1.0".
std::string_view version();

/// Seconds of a cost, to hundredths where they matter, else two digits: it is never better known than that.
std::string in_seconds(double s);

/// One event in full, several as one table. @throws InvalidInput for an empty list.
std::string costs(std::vector<Cost> const& results, Style const& style);

/// The ladder of a what-if: one row per drop.
std::string ladder(Cost const& given, std::vector<Cost> const& rungs, Style const& style);

/// What a wanted gain takes.
std::string wanted(Cost const& given, Inverse const& inverse, Style const& style);

/// Which hip drop two times imply.
std::string implied(CostRequest const& request, Time without, ImpliedDrop const& result, Style const& style);

std::string drag(DragEstimate const& estimate, Style const& style);

std::string stroke(StrokeEstimate const& estimate, Style const& style);

std::string evidence(Evidence const& evidence, Style const& style);

std::string body(Swimmer const& swimmer, Body const& body, Style const& style);

/// All rows, one by its key, or those whose keys begin with it: "tilt", "race.medley". @throws UnknownKey with the nearest keys.
std::string sources(std::optional<std::string> const& key, Style const& style);

} // namespace libdrag::report
