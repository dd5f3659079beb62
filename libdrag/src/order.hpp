#pragma once
/// @file
/// Median and coverage intervals of samples whose values may carry weights: exact, in a little more than one
/// pass over the sample. Private to the library.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "libdrag/uncertainty.hpp"

namespace libdrag {

/// `size` values, and as many weights of any positive scale; without weights all count the same.
template <class T> struct Values {
    T const* values;
    std::size_t size;
    double const* weights = nullptr;
};

/// Median and probabilistically symmetric interval. Where all weights are equal: JCGM 101, 7.7.2, as
/// `symmetric_interval` of a vector. Otherwise low and high are the smallest values whose cumulative weight
/// reaches (1 - level)/2 and (1 + level)/2 of the whole, and the median is the smallest that reaches a half (the
/// mean of it and the next one where it reaches exactly that). All NaN if a value is. T is float or double.
/// Cumulative weights are exact sums of the weights, each cut off at 2^-62 of the whole: the order of the values
/// makes no difference. Throws InvalidInput for a weight that is negative or not finite, or if none is above 0.
template <class T> Estimate symmetric_interval(Values<T> sample, double level);

/// Median and shortest interval. Where all weights are equal: JCGM 101, 5.3.4 and 7.7.2. Otherwise the shortest
/// [y, z] of two values of the sample that holds `level` of the whole weight, both ends included; the lowest of
/// equally short ones.
template <class T> Estimate shortest_interval(Values<T> sample, double level);

/// The values at the given ranks (0 = smallest, ascending) of a sample without NaN, as sorting it would give them.
template <class T>
std::vector<T> at_ranks(T const* values, std::size_t size, std::vector<std::size_t> const& ranks);

/// (sum of w)^2 / sum of w^2 (Kish 1965, Survey Sampling): how many draws of equal weight would say as much about
/// a mean.
double effective_number(double const* weights, std::size_t size);

} // namespace libdrag
