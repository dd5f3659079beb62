#pragma once
/// Segment heights and lengths as fractions of stature, for what no measured dimension gives.

#include <string_view>

#include <libdrag/error.hpp>

#include "tables.hpp"

namespace libdrag {

/// A row of Drillis & Contini 1966 (`libdrag/data/body_ratios.csv`).
/// @throws UnknownKey
constexpr double body_ratio(std::string_view quantity) {
    for (auto const& row : tables::body_ratios)
        if (row.quantity == quantity) return row.fraction_of_stature;
    throw UnknownKey("body ratio", quantity, "");
}

} // namespace libdrag
