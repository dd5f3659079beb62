#pragma once
/// @file
/// What was written to a record, in words, JSON and CSV.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/record.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// Fields "file", "swimmer", "created", "rows" (one each, with "row", its number in a spreadsheet, and the cells that
/// hold something), "notes", "cautions".
Description describe(Appended const& appended);

std::string appended(Appended const& appended, Style const& style);

} // namespace libdrag::report
