#pragma once
/// @file
/// What a cell must not be, and how it is written. Private to the library.

#include <string>
#include <string_view>

namespace libdrag {

/// Spaces around it taken off, those of word processors too.
std::string_view trimmed_cell(std::string_view text);
/// "3-4", "Apr-03": a spreadsheet would make, or has made, a date of it.
bool looks_like_a_date(std::string_view text);
/// Quoted where it must be.
std::string csv_cell(std::string_view text, char delimiter);

} // namespace libdrag
