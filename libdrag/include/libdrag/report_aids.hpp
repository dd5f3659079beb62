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
std::string balance(Balance const& balance, std::optional<HeadLiftResponse> const& head, Form form);

/// JSON: a list with one entry per aid; with wanted loads an object of that list, "aids", and "want".
std::string aids(AidsEstimate const& estimate, std::vector<WantedLoad> const& wanted, Form form);

} // namespace libdrag::report
