#pragma once
/// @file
/// What a swimmer's record says, in words, JSON and CSV.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/measured.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// "measurements", "watch", "whole_breath_s", "hips_s", "learnt", "not_learnt", "next", "conflicts", "effective_draws",
/// "temperatures", "doubts", "notes", "cautions".
Description describe(Measured const& measured);
/// CSV: a row for each thing that may be learnt.
std::string measured(Measured const& measured, Style const& style);

/// "rows", "next", "order", "advised", "notes", "cautions"; CSV: a row a way to test.
Description describe(Design const& design);
std::string design(Design const& design, Style const& style);

} // namespace libdrag::report
