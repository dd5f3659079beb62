#pragma once
/// @file
/// The chart of each result: what a reader sees beside its words, made of the same numbers. Titles, descriptions and
/// notes follow the result; each says how sure its numbers are and what makes them unsure.

#include <string>
#include <vector>

#include <libdrag/chart.hpp>
#include <libdrag/compare.hpp>
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
/// @param rungs, inverse what else was asked about the only race
/// @throws InvalidInput for no race
Chart chart_of(std::vector<Cost> const& costs, std::vector<Cost> const& rungs = {},
               Inverse const* inverse = nullptr);
/// The same race, with what explains the difference of two times.
Chart chart_of(CostRequest const& race, Time without, ImpliedDrop const& implied);

/// What each thing to mend or change would bring, the most first, and all of them together.
Chart chart_of(Comparison const& comparison);

/// Passive drag against speed, what it is made of on top of each other, and active drag: with intervals, about the same
/// swimmer at other speeds.
Chart chart_of(DragEstimate const& estimate);

/// How low the hips are and how fast she is through a breathing pattern, with the breath and without.
Chart chart_of(StrokeEstimate const& estimate);

/// Predicted against measured, by kind; what is not above 0 stands below.
Chart chart_of(Evidence const& evidence);

/// Each swim by how it was swum, in order, and by how much one way is slower than another.
/// @param tests those that `watch` is of
Chart chart_of(std::vector<PoolTest> const& tests, Watch const& watch);

/// Seconds of the whole breath and of the hips before anything was measured and now; with the swims if there are any.
Chart chart_of(Measured const& measured);

/// What each day showed, and where she stood.
Chart chart_of(ProgressRequest const& request, Progress const& progress);

/// What makes a result unsure: the share of its variance that each input explains.
Chart chart_of(Because const& because, std::string const& of);

} // namespace libdrag
