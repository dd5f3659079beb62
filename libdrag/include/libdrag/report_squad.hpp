#pragma once
/// @file
/// Answers about many swimmers, one row each, beside `report.hpp`.

#include <string>
#include <utility>
#include <vector>

#include <libdrag/chart.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

struct SquadAnswer {
    std::size_t row; ///< of the file
    std::string name;
    Description answer{}; ///< nothing where the row was refused
    std::string wrong{};  ///< why: one line
};

/// JSON: "squad": [{"row", "name", "error": null or a line, and the answer's own fields}], "notes", "cautions". CSV:
/// row, name, error, the answer's columns, empty where there is none. Words: a table of the columns that the question
/// shows, and the cautions once; refused rows are not in it.
/// @param columns names of fields and their headings in words
std::string squad(std::vector<SquadAnswer> const& answers, std::vector<std::string> const& notes,
                  std::vector<std::pair<std::string_view, std::string>> const& columns, Style const& style);

/// A bar with its interval for each row that has an answer, in order; how many rows were refused stands below.
/// @param interval the name of the field: seconds @param title of the chart
/// @throws InvalidInput where no row has an answer, or more than `most_bars_of_a_squad` have one
Chart chart_of(std::vector<SquadAnswer> const& answers, std::string_view interval, std::string title);
inline constexpr std::size_t most_bars_of_a_squad = 200; ///< some six metres of them to scroll through

} // namespace libdrag::report
