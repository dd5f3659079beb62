#pragma once
/// @file
/// The chart of each result: what a reader sees beside its words, made of the same numbers. Titles, descriptions and
/// notes follow the result; each says how sure its numbers are and what makes them unsure.

#include <optional>
#include <vector>

#include <libdrag/chart.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/measured.hpp>
#include <libdrag/progress.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/trials.hpp>

namespace libdrag {

/// One race: seconds against the hip drop, on the draws of the answer, with the drop asked about; of a head lift, what
/// the hips and the head cost. Several races: a bar each.
/// @throws InvalidInput for no race
Chart chart_of(std::vector<Cost> const& costs);

/// Predicted against measured, by kind; what is not above 0 stands below.
Chart chart_of(Evidence const& evidence);

} // namespace libdrag
