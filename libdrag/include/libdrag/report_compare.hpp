#pragma once
/// @file
/// A comparison of faults in words, JSON and CSV, beside `report.hpp`.

#include <string>

#include <libdrag/compare.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// "event", "time_s", "ranked": [{"kind", "what", "fault", "gain_s": {...}, "beats_next"}], "together_s", "choose",
/// "first_beats_second", "because", "notes", "cautions".
Description describe(Comparison const& comparison);

/// One row of many: the first, what it brings and how sure it is, and all together.
Description summary(Comparison const& comparison);

/// CSV: a row for each of the ranked.
std::string compare(Comparison const& comparison, Style const& style);

} // namespace libdrag::report
