#pragma once
/// @file
/// What was written to a record, in words, JSON and CSV, and what stands in it.

#include <string>

#include <libdrag/describe.hpp>
#include <libdrag/record.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

/// Fields "file", "swimmer", "created", "rows" (one each, with "row", its number in a spreadsheet, and the cells that
/// hold something), "notes", "cautions".
Description describe(Appended const& appended);

/// Fields "swimmer", then rows by kind, each kind by date: "tests" (with "swims"), "drops", "glides", "loaded", "races",
/// "films", "remarks"; "notes".
Description describe(Record const& record);
Description describe(PoolTest const& test);
Description describe(Glide const& glide);

std::string appended(Appended const& appended, Style const& style);

} // namespace libdrag::report
