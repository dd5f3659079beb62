#pragma once
/// @file
/// What the watch alone says, in words, JSON and CSV.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/report.hpp>
#include <libdrag/trials.hpp>

namespace libdrag::report {

/// Of the first gap "gap_percent", "low", "high", "se_percent", "strokes_change"; "trend_percent", "cv_percent"; all gaps
/// in "gaps", swims that lie far out in "far_out"; "notes", "cautions".
Description describe(Watch const& watch);
Description describe(Gap const& gap);

/// "breathing every 2 arm strokes is 1.4 % slower than the snorkel (95 % range 0.1 to 2.7 %): a gap, just".
std::string gap_words(Gap const& gap, Stroke stroke, double level);

/// CSV: a row a gap.
std::string watch(Watch const& watch, Stroke stroke, Style const& style);

} // namespace libdrag::report
