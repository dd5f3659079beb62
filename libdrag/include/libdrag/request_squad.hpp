#pragma once
/// @file
/// Many swimmers in one table: each row is a request of its own.

#include <string>
#include <vector>

#include <libdrag/request.hpp>
#include <libdrag/sheet.hpp>

namespace libdrag::request {

/// What one row asks, or what is wrong with it.
struct SquadRow {
    std::size_t number; ///< as a spreadsheet numbers it
    std::string name;
    Fields fields;
    std::string wrong{}; ///< a line with row and column
};
struct Squad {
    std::string file;
    std::vector<SquadRow> rows; ///< in the file's order
    std::vector<std::string>
        notes; ///< columns that nothing is read from, and what a spreadsheet may have spoilt
};

/// squad: the file, a CSV of one row per swimmer. Its columns are fields of the question by their names: name, swimmer,
/// sex, height, mass, age, incline, event, course, time, breathe, hip drop (or drop), hip drop sd, head lift, steady
/// drop, leg angle, instead, when, given; units in the head or in the cell. What a row does not say the other fields
/// do.
/// @throws InvalidInput for a file that is no table, or has none of these columns
Squad squad(Fields const& fields);
/// The same of a table that was read already.
Squad squad(Sheet const& sheet, Fields const& fields);

} // namespace libdrag::request
