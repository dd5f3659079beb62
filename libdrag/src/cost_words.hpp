#pragma once
/// What a cost is about, in words that several answers share.

#include <string>

#include <libdrag/cost.hpp>

namespace libdrag::report {

/// "100 m freestyle, long course (50 m), 1:02.40"
std::string race_words(CostRequest const& request);
/// "hips 4.0 deg lower at each breath; a breath every 2 arm strokes"
std::string fault_line(Cost const& cost);
/// "0.18 to 1.5"
std::string range_words(Interval<Time> const& seconds);
/// Whether a drop was given, and not only a lift that it follows from.
bool drop_given(Cost const& cost);
/// No breath lifts the head or lowers the hips.
bool never_low(Cost const& cost);

} // namespace libdrag::report
