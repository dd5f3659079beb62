#include <libdrag/sheet.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <utility>

#include <boost/locale/utf.hpp>

#include "names.hpp"
#include "sheet_text.hpp"
#include "text_file.hpp"

namespace libdrag {
namespace {

constexpr std::uintmax_t largest_megabytes = 25;
constexpr std::size_t most_columns = 200, most_rows = 500'000;
constexpr std::string_view example = "a first line with a name for each column, as date,how,time (s)";

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Spaces that word processors and spreadsheets put beside the plain one.
constexpr std::array<std::string_view, 4> odd_spaces{"\u00a0", "\u2007", "\u2009", "\u202f"};

std::size_t space_at(std::string_view text) {
    if (text.empty()) return 0;
    if (text[0] == ' ' || text[0] == '\t' || text[0] == '\n') return 1;
    for (std::string_view const space : odd_spaces)
        if (text.substr(0, space.size()) == space) return space.size();
    return 0;
}
/// As a spreadsheet names its columns: A to Z, AA ...
std::string letters(std::size_t index) {
    std::string out;
    for (++index; index > 0; index = (index - 1) / 26)
        out.insert(out.begin(), static_cast<char>('A' + (index - 1) % 26));
    return out;
}

std::string shown(std::string_view text) { return text.empty() ? "nothing" : "'" + printable(text) + "'"; }

[[noreturn]] void no_table(std::string_view origin, std::size_t row, std::string const& what,
                           std::string_view allowed) {
    throw InvalidInput("row " + std::to_string(row) + " of " + std::string(origin), what, allowed);
}

// --- text to cells ----------------------------------------------------------------------------------

/// Cells of one line after another; a line end may be any, and stand in quotes.
class Lines {
public:
    Lines(std::string_view origin, std::string_view text, char delimiter)
        : origin_(origin), rest_(text), delimiter_(delimiter) {}

    [[nodiscard]] bool at_end() const { return rest_.empty(); }
    [[nodiscard]] std::size_t row() const { return row_; }
    /// How much of the text is left.
    [[nodiscard]] std::size_t left() const { return rest_.size(); }

    std::vector<std::string> next() {
        ++row_;
        std::vector<std::string> cells;
        std::size_t empty = 0; // not kept unless more follows: a line of a million commas is an empty one
        for (bool more = true; more;) {
            std::string cell;
            more = take_cell(cell);
            if (cell.empty()) {
                ++empty;
                continue;
            }
            if (cells.size() + empty >= most_columns)
                no_table(origin_, row_, "more than " + std::to_string(most_columns) + " cells",
                         "a row of a table");
            cells.resize(cells.size() + empty);
            empty = 0;
            cells.push_back(std::move(cell));
        }
        return cells;
    }

private:
    /// Whether another cell follows on the line.
    bool take_cell(std::string& cell) {
        if (!rest_.empty() && rest_[0] == '"') take_quoted(cell);
        std::size_t const end =
            std::min(rest_.find_first_of(std::string{delimiter_, '\n', '\r'}), rest_.size());
        cell += rest_.substr(0, end);
        cell = trimmed_cell(cell);
        char const stop = end < rest_.size() ? rest_[end] : '\n';
        bool const is_pair = rest_.substr(end, 2) == "\r\n";
        rest_.remove_prefix(std::min(end + (is_pair ? 2 : 1), rest_.size()));
        return stop == delimiter_;
    }
    void take_quoted(std::string& cell) {
        for (rest_.remove_prefix(1);; rest_.remove_prefix(1)) {
            std::size_t const quote = rest_.find('"');
            if (quote == std::string_view::npos)
                no_table(origin_, row_, "a cell with an opening quote and no closing one", "both or none");
            for (char const c : rest_.substr(0, quote))
                if (c != '\r') cell += c;
            rest_.remove_prefix(quote + 1);
            if (rest_.empty() || rest_[0] != '"') return;
            cell += '"';
        }
    }

    std::string_view origin_, rest_;
    char delimiter_;
    std::size_t row_ = 0;
};

void require_text(std::string_view origin, std::string_view text) {
    if (text.size() >= 2 && (text.substr(0, 2) == "\xff\xfe" || text.substr(0, 2) == "\xfe\xff"))
        throw InvalidInput(origin, "text in UTF-16", "CSV in UTF-8: choose that when saving");
    auto const line = [&](std::size_t at) {
        std::string_view const before = text.substr(0, at);
        auto const ends = std::count(before.begin(), before.end(), '\n');
        return "line "
               + std::to_string(1 + (ends > 0 ? ends : std::count(before.begin(), before.end(), '\r')))
               + " of " + std::string(origin);
    };
    if (std::size_t const nul = text.find('\0'); nul != std::string_view::npos)
        throw InvalidInput(line(nul), "a NUL character", "text: CSV in UTF-8");
    using Utf8 = boost::locale::utf::utf_traits<char>;
    for (auto const* at = text.begin(); at != text.end();) {
        auto const* const start = at;
        if (!boost::locale::utf::is_valid_codepoint(Utf8::decode(at, text.end())))
            throw InvalidInput(line(static_cast<std::size_t>(start - text.begin())),
                               "a letter that is not UTF-8", "CSV in UTF-8: choose that when saving");
    }
}

/// What stands between the titles.
char delimiter_of(std::string_view text) {
    std::array<std::pair<char, std::size_t>, 3> counts{{{',', 0}, {';', 0}, {'\t', 0}}};
    bool quoted = false;
    for (char const c : text) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '\n' || c == '\r') break;
        for (auto& [delimiter, count] : counts) count += c == delimiter ? 1 : 0;
    }
    return std::max_element(counts.begin(), counts.end(),
                            [](auto const& a, auto const& b) { return a.second < b.second; })
        ->first;
}

// --- what a spreadsheet does to what is typed -------------------------------------------------------

/// A number may go through with an apostrophe before it that keeps it text.
std::string_view without_apostrophe(std::string_view text) {
    bool const kept =
        text.size() > 1 && text[0] == '\'' && (is_digit(text[1]) || text[1] == '.' || text[1] == '-');
    return kept ? text.substr(1) : text;
}

bool is_formula_error(std::string_view text) {
    constexpr std::array<std::string_view, 9> errors{"#value!", "#ref!",  "#div/0!", "#name?", "#n/a",
                                                     "#num!",   "#null!", "#spill!", "#calc!"};
    std::string const small = lower_case(text);
    bool const numbered = small.size() > 4 && small.substr(0, 4) == "err:"
                          && std::all_of(small.begin() + 4, small.end(), is_digit);
    bool const too_narrow = text.size() > 2 && text.find_first_not_of('#') == std::string_view::npos;
    return numbered || too_narrow || std::find(errors.begin(), errors.end(), small) != errors.end();
}

/// 12,5 between digits.
bool has_decimal_comma(std::string_view text) {
    std::size_t const comma = text.find(',');
    return comma != std::string_view::npos && comma > 0 && comma + 1 < text.size()
           && text.find(',', comma + 1) == std::string_view::npos && is_digit(text[comma - 1])
           && text.find_first_not_of("0123456789:.,+-' ") == std::string_view::npos
           && std::all_of(text.begin() + static_cast<std::ptrdiff_t>(comma) + 1, text.end(), is_digit);
}

struct Clock {
    bool two_decimals;
    bool zero_before; ///< 01:02, 00:01:02: nobody writes a swim so
};
/// Of a time with colons.
std::optional<Clock> clock_of(std::string_view text) {
    std::size_t const colon = text.find(':');
    if (colon == std::string_view::npos || text.find_first_not_of("0123456789:.,") != std::string_view::npos)
        return std::nullopt;
    std::size_t const point = text.find_first_of(".,");
    return Clock{point != std::string_view::npos && text.size() - point > 2, colon == 2 && text[0] == '0'};
}

/// "2, 5 and 9", of many the first.
std::string row_list(std::vector<std::size_t> const& rows) {
    constexpr std::size_t most = 5;
    std::string out = rows.size() == 1 ? "row " : "rows ";
    std::size_t const listed = std::min(rows.size(), most);
    for (std::size_t i = 0; i < listed; ++i)
        out += (i == 0 ? "" : i + 1 == rows.size() ? " and " : ", ") + std::to_string(rows[i]);
    return rows.size() > most ? out + " and " + std::to_string(rows.size() - most) + " more" : out;
}

/// Hundredths that a spreadsheet no longer shows, and so no longer saves.
void note_lost_hundredths(Sheet& sheet) {
    for (std::size_t column = 0; column < sheet.columns.size(); ++column) {
        if (sheet.columns[column].name.substr(0, 4) != "time") continue;
        std::vector<std::size_t> spoilt, short_ones;
        std::string_view first;
        bool some_have_two = false;
        for (Sheet::Row const& row : sheet.rows) {
            if (column >= row.cells.size()) continue;
            auto const clock = clock_of(row.cells[column]);
            if (!clock) continue;
            some_have_two = some_have_two || clock->two_decimals;
            if (clock->two_decimals) continue;
            if (short_ones.empty()) first = row.cells[column];
            short_ones.push_back(row.number);
            if (clock->zero_before) spoilt.push_back(row.number);
        }
        std::vector<std::size_t> const& rows = some_have_two ? short_ones : spoilt;
        if (!rows.empty())
            sheet.notes.push_back(
                printable(sheet.columns[column].title) + " in " + row_list(rows) + ": '" + printable(first)
                + "' is what a spreadsheet leaves of a time such as 1:02.40; the hundredths may "
                  "be lost. Plain seconds, as 62.40, stay whole");
    }
}

/// Day, month and year of 25/11/2026 in the order they stand.
std::optional<std::array<int, 3>> slashed(std::string_view text) {
    std::array<int, 3> out{};
    std::size_t part = 0, digits = 0;
    for (char const c : text) {
        if (c == '/' && digits > 0 && part < 2) ++part, digits = 0;
        else if (is_digit(c) && digits < 4) out[part] = 10 * out[part] + (c - '0'), ++digits;
        else return std::nullopt;
    }
    return part == 2 && digits == 4 ? std::optional(out) : std::nullopt;
}

void settle_dates(Sheet& sheet) {
    std::size_t day_first = 0, month_first = 0; // the rows that say so
    for (std::size_t column = 0; column < sheet.columns.size(); ++column) {
        if (sheet.columns[column].name != "date") continue;
        for (Sheet::Row const& row : sheet.rows) {
            auto const date = column < row.cells.size() ? slashed(row.cells[column]) : std::nullopt;
            if (!date) continue;
            if ((*date)[0] > 12) day_first = row.number;
            if ((*date)[1] > 12) month_first = row.number;
        }
    }
    if (day_first != 0 && month_first != 0)
        throw InvalidInput("date in " + sheet.origin,
                           "the day first in row " + std::to_string(day_first) + ", the month first in row "
                               + std::to_string(month_first),
                           "one order, or dates as 2026-11-25");
    if (day_first != 0 || month_first != 0) sheet.day_first = day_first != 0;
}

Sheet::Column column_of(std::string title) {
    std::string name = lower_case(title), unit;
    for (std::string_view const space : odd_spaces)
        for (std::size_t at; (at = name.find(space)) != std::string::npos;)
            name.replace(at, space.size(), " ");
    std::replace(name.begin(), name.end(), '\n', ' ');
    std::size_t const open = name.find_last_of("([");
    if (open != std::string::npos && open > 0 && (name.back() == ')' || name.back() == ']')) {
        unit = trimmed_cell(std::string_view(name).substr(open + 1, name.size() - open - 2));
        name.resize(open);
    }
    name = trimmed_cell(name);
    for (std::size_t at; (at = name.find("  ")) != std::string::npos;) name.erase(at, 1);
    return {std::move(name), std::move(unit), std::move(title)};
}

/// Whether a number under that title is of the dimension.
bool unit_is_of(std::string_view unit, Dimension dimension) {
    try {
        (void)detail::in_unit(0.0, dimension, unit);
        return true;
    } catch (UnknownKey const&) {
        return false;
    }
}

void take_titles(Sheet& sheet, std::vector<std::string> const& titles) {
    std::set<std::pair<std::string, std::string>> known;
    for (std::string const& title : titles) {
        sheet.columns.push_back(column_of(title));
        Sheet::Column const& column = sheet.columns.back();
        if (!column.name.empty() && !known.insert({column.name, column.unit}).second)
            no_table(sheet.origin, 1, "the column '" + printable(title) + "' twice", "each once");
    }
    if (std::all_of(sheet.columns.begin(), sheet.columns.end(), [](auto const& c) { return c.name.empty(); }))
        no_table(sheet.origin, 1, "nothing", example);
}

void take_row(Sheet& sheet, Sheet::Row row) {
    if (row.cells.empty()) return;
    if (row.cells.size() > sheet.columns.size()) {
        bool const by_comma = sheet.delimiter == ',' && is_digit(row.cells.back().front());
        no_table(sheet.origin, row.number,
                 std::to_string(row.cells.size()) + " cells under " + std::to_string(sheet.columns.size())
                     + " titles",
                 std::string("as many cells as titles")
                     + (by_comma ? "; decimal commas need quotes, or semicolons between the cells" : ""));
    }
    if (sheet.rows.size() == most_rows)
        no_table(sheet.origin, row.number, "more than " + std::to_string(most_rows) + " rows",
                 "a table to read");
    sheet.rows.push_back(std::move(row));
}

void look_through(Sheet& sheet) {
    for (std::size_t column = 0; column < sheet.columns.size(); ++column) {
        if (!sheet.columns[column].name.empty()) continue;
        auto const filled = std::find_if(sheet.rows.begin(), sheet.rows.end(), [&](Sheet::Row const& row) {
            return column < row.cells.size() && !row.cells[column].empty();
        });
        if (filled != sheet.rows.end())
            sheet.notes.push_back("Column " + letters(column) + " has no title and is not read (row "
                                  + std::to_string(filled->number) + " has " + shown(filled->cells[column])
                                  + " there)");
    }
    sheet.decimal_comma = std::any_of(sheet.rows.begin(), sheet.rows.end(), [](Sheet::Row const& row) {
        return std::any_of(row.cells.begin(), row.cells.end(), has_decimal_comma);
    });
    settle_dates(sheet);
    note_lost_hundredths(sheet);
}

} // namespace

bool looks_like_a_date(std::string_view text) {
    constexpr std::string_view months = "jan feb mar apr may jun jul aug sep oct nov dec ";
    std::string const small = lower_case(text);
    std::size_t parts = 1, digits = 0;
    bool month = false, points = false;
    for (std::size_t i = 0; i < small.size();) {
        char const c = small[i];
        if (is_digit(c)) ++digits, ++i;
        else if (i > 0 && (c == '-' || c == '/' || c == '.')) {
            points = points || c == '.';
            ++parts, ++i;
        } else if (c == ' ' && i > 0) ++i;
        else if (!month && i + 3 <= small.size()
                 && months.find(small.substr(i, 3) + " ") != std::string_view::npos)
            month = true, i += 3;
        else return false;
    }
    return digits > 0 && (month || parts == 3 || (parts == 2 && !points));
}

std::string_view trimmed_cell(std::string_view text) {
    while (std::size_t const space = space_at(text)) text.remove_prefix(space);
    for (std::size_t end = text.size(); end > 0;) {
        // A space of several bytes begins up to three before the end.
        std::size_t space = 0;
        for (std::size_t from = end - std::min<std::size_t>(end, 3); from < end && space == 0; ++from)
            if (space_at(text.substr(from)) == end - from) space = end - from;
        if (space == 0) return text.substr(0, end);
        end -= space;
    }
    return {};
}

std::string csv_cell(std::string_view text, char delimiter) {
    if (text.find_first_of(std::string{delimiter, '"', '\n', '\r'}) == std::string_view::npos)
        return std::string(text);
    std::string out = "\"";
    for (char const c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

Sheet parse_sheet(std::string_view origin, std::string_view text) {
    Sheet sheet;
    std::size_t const size = text.size();
    sheet.origin = printable(origin);
    require_text(sheet.origin, text);
    constexpr std::string_view byte_order_mark = "\xef\xbb\xbf";
    if (text.substr(0, byte_order_mark.size()) == byte_order_mark) text.remove_prefix(byte_order_mark.size());
    // A first line that tells spreadsheets the delimiter; they do not count it.
    if (lower_case(text.substr(0, 4)) == "sep=" && text.size() > 4) {
        sheet.delimiter = text[4];
        std::size_t const end = std::min(text.find_first_of("\r\n"), text.size());
        text.remove_prefix(std::min(end + (text.substr(end, 2) == "\r\n" ? 2 : 1), text.size()));
        if (end != 5 || (sheet.delimiter != ',' && sheet.delimiter != ';' && sheet.delimiter != '\t'))
            throw InvalidInput("delimiter of " + sheet.origin, "a line with sep=", "sep=, or sep=;");
    } else sheet.delimiter = delimiter_of(text);
    Lines lines(sheet.origin, text, sheet.delimiter);
    if (lines.at_end()) no_table(sheet.origin, 1, "nothing", example);
    take_titles(sheet, lines.next());
    while (!lines.at_end()) {
        std::size_t const begin = size - lines.left();
        std::vector<std::string> cells = lines.next();
        take_row(sheet, {lines.row(), std::move(cells), begin, size - lines.left()});
    }
    sheet.last_row = lines.row();
    look_through(sheet);
    return sheet;
}

Sheet sheet_of(std::string_view origin, std::vector<std::string> const& titles,
               std::vector<std::vector<std::string>> rows) {
    Sheet sheet;
    sheet.origin = printable(origin);
    for (std::string const& title : titles) require_text(sheet.origin, title);
    take_titles(sheet, titles);
    for (std::vector<std::string>& cells : rows) {
        for (std::string& cell : cells) {
            require_text(sheet.origin, cell);
            cell = std::string(trimmed_cell(cell));
        }
        if (cells.empty()) cells.emplace_back();
        take_row(sheet, {++sheet.last_row, std::move(cells)});
    }
    settle_dates(sheet);
    return sheet;
}

Sheet read_sheet(std::string const& path) {
    return parse_sheet(shown_path(path), text_of_file("file", path, largest_megabytes, example));
}

bool Sheet::has(std::string_view name) const {
    return std::any_of(columns.begin(), columns.end(), [&](Column const& c) { return c.name == name; });
}

// --- cells to quantities ----------------------------------------------------------------------------

/// Of columns with that name the one that holds something, in a unit of the dimension if one is wanted.
SheetRow::Cell SheetRow::cell(std::string_view name, std::optional<Dimension> dimension) const {
    std::vector<std::string> const& cells = sheet_->rows[index_].cells;
    Cell found{{}, nullptr};
    for (std::size_t i = 0; i < sheet_->columns.size(); ++i) {
        Sheet::Column const& column = sheet_->columns[i];
        if (column.name != name) continue;
        bool const filled = i < cells.size() && !cells[i].empty();
        bool const fits = !dimension || column.unit.empty() || unit_is_of(column.unit, *dimension);
        if (found.column == nullptr || (filled && (found.text.empty() || fits)))
            found = {filled ? cells[i] : std::string(), &column};
        if (filled && fits) break;
    }
    return found;
}

std::string SheetRow::place(Sheet::Column const& column) const {
    return printable(column.title) + " in row " + std::to_string(number()) + " of " + sheet_->origin;
}
std::string SheetRow::place(std::string_view name) const {
    Cell const found = cell(name);
    return found.column != nullptr
               ? place(*found.column)
               : std::string(name) + " in row " + std::to_string(number()) + " of " + sheet_->origin;
}

void SheetRow::missing(std::string_view name, std::string_view wanted) const {
    if (sheet_->has(name)) throw InvalidInput(place(name), "nothing", wanted);
    std::vector<std::string_view> titles;
    for (Sheet::Column const& column : sheet_->columns) titles.emplace_back(column.name);
    std::string const near = nearest(name, titles);
    throw InvalidInput("columns of " + sheet_->origin, "no '" + std::string(name) + "'",
                       "a column '" + std::string(name) + "'"
                           + (near.empty() ? "" : " (there is " + printable(near) + ")") + ": "
                           + std::string(wanted));
}

std::string SheetRow::text(std::string_view name) const {
    Cell const found = cell(name);
    if (found.column != nullptr && is_formula_error(found.text))
        throw InvalidInput(place(*found.column),
                           shown(found.text) + ", which a spreadsheet could not compute", "what was typed");
    return std::string(without_apostrophe(found.text));
}

std::string SheetRow::word(std::string_view name, std::string_view wanted) const {
    std::string found = text(name);
    if (found.empty()) missing(name, wanted);
    return found;
}

/// The number as `parse` reads it: no apostrophe, no spaces between digits, a point.
std::string SheetRow::number_text(Cell const& cell) const {
    std::string_view const typed = without_apostrophe(cell.text);
    if (is_formula_error(typed))
        throw InvalidInput(place(*cell.column), shown(typed) + ", which a spreadsheet could not compute",
                           "a number");
    if (looks_like_a_date(typed))
        throw InvalidInput(place(*cell.column), shown(typed) + ", which looks like a date",
                           "a number: a spreadsheet makes dates of 3-4 and 3.4");
    std::string number;
    for (std::size_t i = 0; i < typed.size();) {
        std::size_t const space = space_at(typed.substr(i));
        bool const between = space > 1 && !number.empty() && is_digit(number.back())
                             && i + space < typed.size() && is_digit(typed[i + space]);
        if (space == 0) number += typed[i];
        else if (!between) number += ' ';
        i += std::max<std::size_t>(space, 1);
    }
    std::size_t const comma = number.find(','), point = number.find('.');
    auto const three_follow = [&](std::size_t mark) {
        std::size_t const end = std::min(number.find_first_not_of("0123456789", mark + 1), number.size());
        return end - mark - 1 == 3;
    };
    if (comma != std::string::npos) {
        // 1,500 may be one and a half or fifteen hundred, except where commas are the file's decimal mark.
        bool const certain = sheet_->delimiter == ';' || !three_follow(comma);
        if (point == std::string::npos && certain && number.find(',', comma + 1) == std::string::npos)
            number[comma] = '.';
        else
            throw InvalidInput(place(*cell.column), shown(cell.text),
                               "one decimal point or comma, and nothing between thousands");
    } else if (point != std::string::npos && sheet_->decimal_comma && sheet_->delimiter == ';'
               && three_follow(point) && number.find(':') == std::string::npos)
        throw InvalidInput(place(*cell.column), shown(cell.text),
                           "a decimal comma as elsewhere in the file, and nothing between thousands");
    return number;
}

std::optional<double> SheetRow::base_value(std::string_view name, Dimension dimension) const {
    Cell const found = cell(name, dimension);
    if (found.text.empty()) return std::nullopt;
    std::string number = number_text(found);
    bool const bare = number.find_first_not_of("0123456789.+-eE") == std::string::npos;
    // Pixels and the like are numbers; of a share it matters.
    bool const unit_counts = dimension != Dimension::number || found.column->unit == "%";
    if (bare && unit_counts) number += found.column->unit;
    try {
        return detail::parse(place(*found.column), number, dimension);
    } catch (InvalidInput const& error) {
        std::string const hint =
            bare && unit_counts && found.column->unit.empty() ? ", or the unit in the title" : "";
        throw InvalidInput(place(*found.column), error.value(), error.allowed() + hint);
    }
}

double SheetRow::needed(std::string_view name, Dimension dimension) const {
    auto const value = base_value(name, dimension);
    if (!value)
        missing(name,
                dimension == Dimension::time ? "a time, as 14.32" : "a value in each row that needs it");
    return *value;
}

std::optional<std::variant<Angle, Length>> SheetRow::angle_or_length(std::string_view name) const {
    Cell const found = cell(name);
    if (found.text.empty()) return std::nullopt;
    std::string number = number_text(found);
    if (number.find_first_not_of("0123456789.+-eE") == std::string::npos) number += found.column->unit;
    return parse_angle_or_length(place(*found.column), number);
}

Date SheetRow::date(std::string_view name) const {
    std::string typed = word(name, "a day, as 2026-11-25");
    constexpr std::array<std::string_view, 4> midnights{" 00:00:00", "t00:00:00", " 00:00", " 0:00"};
    for (std::string_view const midnight : midnights)
        if (typed.size() > midnight.size()
            && lower_case(typed.substr(typed.size() - midnight.size())) == midnight) {
            typed.resize(typed.size() - midnight.size());
            break;
        }
    if (auto const parts = slashed(typed)) {
        if (!sheet_->day_first)
            throw InvalidInput(
                place(name), shown(typed),
                "a day as 2026-11-25: nothing in the file says whether the day or the month is first");
        auto const [first, second, year] = *parts;
        int const day = *sheet_->day_first ? first : second, month = *sheet_->day_first ? second : first;
        return parse_date(place(name),
                          std::to_string(day) + "." + std::to_string(month) + "." + std::to_string(year));
    }
    return parse_date(place(name), typed);
}

std::optional<int> SheetRow::whole_number(std::string_view name, int low, int high) const {
    auto const value = base_value(name, Dimension::number);
    if (!value) return std::nullopt;
    if (!(*value >= low && *value <= high) || *value != std::floor(*value))
        throw InvalidInput(place(name), shown(text(name)),
                           "a whole number from " + std::to_string(low) + " to " + std::to_string(high));
    return static_cast<int>(*value);
}

} // namespace libdrag
