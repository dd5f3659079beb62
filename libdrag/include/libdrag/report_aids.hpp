#pragma once
/// @file
/// Balance and aids in words, JSON and CSV, beside `report.hpp`.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/aids.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// @param head what a lifted head does to the hips, if asked
std::string balance(Balance const& balance, std::optional<HeadLiftResponse> const& head, Style const& style);

/// JSON: "aids", a list with one entry per aid, and "want", a list of loads or null. CSV: the loads if they
/// were asked for, else the aids.
std::string aids(AidsEstimate const& estimate, Style const& style);

} // namespace libdrag::report
