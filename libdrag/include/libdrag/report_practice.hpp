#pragma once
/// @file
/// A session in words, JSON and CSV, and as a page to print and to write times on.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/practice.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// Fields "event", "minutes", "pool_m", "work", "ways" (the "letter" of each), "parts" (each with its "lines", the "order"
/// as swum, its send-off, cue, film and rules), "distance_m", "time_s", "left_s", "step_up", "step_back", "rules", "log", "notes", "cautions".
Description describe(Practice const& practice);
/// Of a way to swim, whatever adds drag to it; nothing for one that has none.
std::string letter_of(Practice const& practice, Condition const& how);
/// A row a swim, as swum.
std::vector<Description> swims_of(Practice const& practice);

/// CSV: a row a swim.
std::string practice(Practice const& practice, Style const& style);

/// One self-contained HTML page: no script and no reference to anything outside.
std::string practice_page(Practice const& practice);

} // namespace libdrag::report
