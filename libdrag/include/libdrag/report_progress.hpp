#pragma once
/// @file
/// Whether it is closing, in words, JSON and CSV.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// Fields "sessions", "weeks", "by_film", "verdict", "per_week_deg", "change_deg" (by the watch "gap_per_week_percent",
/// "gap_change_percent"), "closing", "change_s", "worthwhile", "smallest_worthwhile_s", "levels", "notes", "cautions".
Description describe(Progress const& progress);

/// CSV: a row a day, with what all share behind it.
std::string progress(ProgressRequest const& request, Progress const& progress, Options const& options,
                     Style const& style);

} // namespace libdrag::report
