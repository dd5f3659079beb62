/// @file
/// libFuzzer over tables and records of unknown origin. Whatever the bytes: rows and measurements that make sense, or
/// one line that says where and what; and a cell that is written reads the same.
///
///     cmake --preset clang && cmake --build --preset clang --target sheet_fuzz
///     build/clang/tests/fuzz/sheet_fuzz -dict=tests/fuzz/record.dict -seed_inputs=tests/fuzz/record.csv

#include <cstdint>
#include <string>
#include <string_view>

#include <libdrag/record.hpp>

#include "judge.hpp"
#include "sheet_text.hpp"

namespace {

using namespace libdrag;
using namespace fuzzing;

void require_finite(double x) {
    if (!(x - x == 0.0)) fail("not finite", std::to_string(x));
}

void cells(Sheet const& sheet) {
    for (SheetRow const row : sheet)
        for (Sheet::Column const& column : sheet.columns) {
            std::string const& name = column.name;
            require_one_line(row.place(name));
            only_our_exceptions([&] { (void)row.text(name); });
            only_our_exceptions([&] { require_finite(row.read<double>(name)); });
            only_our_exceptions([&] { require_finite(row.read<Time>(name).value()); });
            only_our_exceptions([&] { require_finite(row.read<Length>(name).value()); });
            only_our_exceptions([&] { (void)row.angle_or_length(name); });
            only_our_exceptions([&] { (void)row.whole_number(name, -5, 5); });
            only_our_exceptions([&] {
                Date const date = row.date(name);
                if (parse_date("date", to_string(date)) != date) fail("another date", to_string(date));
            });
        }
}

/// What was read is possible, and comes from a row of the sheet.
void measurements(Sheet const& sheet, Record const& record) {
    for (std::string const& note : record.notes) require_one_line(note);
    for (Measurement const& measurement : record.measurements) {
        (void)to_string(date_of(measurement));
        auto const* const test = std::get_if<PoolTest>(&measurement);
        if (test == nullptr) continue;
        int before = 0;
        for (TimedSwim const& swim : test->swims) {
            if (!(swim.time.value() > 0.0) || swim.order <= before || swim.line < 2
                || swim.line > sheet.last_row)
                fail("a swim that cannot be", std::to_string(swim.line));
            before = swim.order;
            if (parse_condition("how", to_string(swim.how), test->stroke) != swim.how)
                fail("another condition", to_string(swim.how));
        }
    }
}

void table(std::string_view text) {
    only_our_exceptions([&] {
        Sheet const sheet = parse_sheet("x.csv", text);
        for (std::string const& note : sheet.notes) require_one_line(note);
        constexpr std::size_t rows_enough = 20; // of a long table that is mostly one byte
        if (sheet.rows.size() < rows_enough) cells(sheet);
        RecordDefaults defaults;
        defaults.date = Date{2026, 11, 25};
        defaults.distance = metres(25.0);
        std::vector<std::string> names = swimmers_in(sheet);
        names.resize(std::min<std::size_t>(names.size(), 3));
        names.emplace_back();
        for (std::string const& name : names) {
            only_our_exceptions([&] { measurements(sheet, record_of(sheet, name)); });
            only_our_exceptions([&] { measurements(sheet, record_of(sheet, name, defaults)); });
        }
    });
}

void written(std::string_view text) {
    std::string const inner(trimmed_cell(text.substr(0, 100)));
    for (char const delimiter : {',', ';'})
        only_our_exceptions([&] {
            Sheet const sheet = parse_sheet("x.csv", std::string("a") + delimiter + "b\n"
                                                         + csv_cell(inner, delimiter) + delimiter + "1\n");
            std::string const back = SheetRow(sheet, 0).text("a");
            // Line ends are one, an apostrophe before a number goes.
            if (inner.find('\r') == std::string::npos && inner.find('\'') == std::string::npos
                && back != inner)
                fail("another cell", inner);
        });
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(std::uint8_t const* data, std::size_t size) {
    std::string_view const text(reinterpret_cast<char const*>(data), size);
    table(text);
    written(text);
    return 0;
}
