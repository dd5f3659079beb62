#pragma once
/// @file
/// A table as a spreadsheet or a phone saves it: text to rows and columns, cells to quantities. What is certain is read
/// whatever it went through (semicolons and decimal commas, quotes, byte order mark, any line ends, times turned to
/// 01:02.4, dates with slashes that the file settles); what is not is refused by row and column. Rows are numbered as a
/// spreadsheet numbers them, the header is row 1.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/measurement.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {

class SheetRow;

class Sheet {
public:
    /// "Time (s)": name "time" in lower case, unit "s", title as written.
    struct Column {
        std::string name, unit, title;
    };
    struct Row {
        std::size_t number;
        std::vector<std::string> cells; ///< as many as the line had: those behind are empty
        std::size_t begin = 0, end = 0; ///< of the text: the line with its end
    };

    std::string origin; ///< the file's name, for messages
    std::vector<Column> columns;
    std::vector<Row> rows;    ///< those that hold anything
    std::size_t last_row = 1; ///< number of the last, empty or not
    char delimiter = ',';     ///< comma, semicolon or tab
    bool decimal_comma = false;
    std::optional<bool> day_first{}; ///< of dates with slashes, where the file settles it
    std::vector<std::string> notes;  ///< what was left out, and what a spreadsheet may have spoilt

    /// Whether a column has that name (in any unit).
    [[nodiscard]] bool has(std::string_view name) const;
    /// For `for (SheetRow const row : sheet)`.
    class Iterator;
    [[nodiscard]] Iterator begin() const;
    [[nodiscard]] Iterator end() const;
};

/// One row, read by the names of its columns. A number takes the unit of its column's title unless it has its own;
/// of two columns of one name the one in a unit of the right kind is read. Everything throws InvalidInput with row and
/// column; `read` also where the column or the cell is missing, which `maybe` gives as nothing.
class SheetRow {
public:
    SheetRow(Sheet const& sheet, std::size_t index) : sheet_(&sheet), index_(index) {}

    [[nodiscard]] std::size_t number() const { return sheet_->rows[index_].number; }
    /// Any column of that name holds something.
    [[nodiscard]] bool has(std::string_view name) const { return !text(name).empty(); }
    /// As it stands, without spaces around it; empty where there is none.
    [[nodiscard]] std::string text(std::string_view name) const;
    /// A text that must be there. @param example for the message
    [[nodiscard]] std::string word(std::string_view name, std::string_view example) const;

    template <class Q> [[nodiscard]] Q read(std::string_view name) const {
        using T = Textual<Q>;
        return T::make(needed(name, T::dimension));
    }
    template <class Q> [[nodiscard]] std::optional<Q> maybe(std::string_view name) const {
        using T = Textual<Q>;
        auto const value = base_value(name, T::dimension);
        return value ? std::optional(T::make(*value)) : std::nullopt;
    }
    [[nodiscard]] std::optional<std::variant<Angle, Length>> angle_or_length(std::string_view name) const;
    /// As `parse_date`, or with slashes where the file as a whole settles what comes first.
    [[nodiscard]] Date date(std::string_view name) const;
    /// Also 14.0.
    [[nodiscard]] std::optional<int> whole_number(std::string_view name, int low, int high) const;

    /// "time (s) in row 4 of squad.csv", to refuse a value by.
    [[nodiscard]] std::string place(std::string_view name) const;

private:
    struct Cell {
        std::string text;
        Sheet::Column const* column;
    };
    [[nodiscard]] Cell cell(std::string_view name, std::optional<Dimension> dimension = {}) const;
    [[nodiscard]] std::string place(Sheet::Column const& column) const;
    [[nodiscard]] std::string number_text(Cell const& cell) const;
    [[nodiscard]] std::optional<double> base_value(std::string_view name, Dimension dimension) const;
    [[nodiscard]] double needed(std::string_view name, Dimension dimension) const;
    [[noreturn]] void missing(std::string_view name, std::string_view example) const;

    Sheet const* sheet_;
    std::size_t index_;
};

class Sheet::Iterator {
public:
    Iterator(Sheet const& sheet, std::size_t index) : sheet_(&sheet), index_(index) {}
    SheetRow operator*() const { return {*sheet_, index_}; }
    Iterator& operator++() {
        ++index_;
        return *this;
    }
    friend bool operator!=(Iterator const& a, Iterator const& b) { return a.index_ != b.index_; }

private:
    Sheet const* sheet_;
    std::size_t index_;
};
inline Sheet::Iterator Sheet::begin() const { return {*this, 0}; }
inline Sheet::Iterator Sheet::end() const { return {*this, rows.size()}; }

/// @throws InvalidInput for what is no table: no header, a title twice, more cells than titles, a quote that does not
/// end, NUL, text that is not UTF-8
Sheet parse_sheet(std::string_view origin, std::string_view text);
/// A table that a program holds: as `parse_sheet`, but nothing is taken for what a file went through, and a row without
/// anything stays one.
Sheet sheet_of(std::string_view origin, std::vector<std::string> const& titles,
               std::vector<std::vector<std::string>> rows);
/// @throws InvalidInput also for a file that is missing, empty or larger than 25 MB.
Sheet read_sheet(std::string const& path);

} // namespace libdrag
