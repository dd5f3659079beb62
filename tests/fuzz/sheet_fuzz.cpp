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

/// One reader a cell, another in the next: what they refuse takes long.
void cells(Sheet const& sheet, std::size_t reader) {
    for (SheetRow const row : sheet)
        for (Sheet::Column const& column : sheet.columns)
            only_our_exceptions([&, name = std::string_view(column.name)] {
                switch (reader++ % 7) {
                case 0: require_one_line(row.place(name)); return;
                case 1: (void)row.text(name); return;
                case 2: require_finite(row.read<double>(name)); return;
                case 3: require_finite(row.read<Time>(name).value()); return;
                case 4: (void)row.angle_or_length(name); return;
                case 5: (void)row.whole_number(name, -5, 5); return;
                case 6:
                    Date const date = row.date(name);
                    if (parse_date("date", to_string(date)) != date) fail("another date", to_string(date));
                    return;
                }
            });
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
        if (sheet.rows.size() < rows_enough) cells(sheet, text.size());
        RecordDefaults defaults;
        defaults.date = Date{2026, 11, 25};
        defaults.distance = metres(25.0);
        std::vector<std::string> names = swimmers_in(sheet);
        names.resize(std::min<std::size_t>(names.size(), 3));
        names.emplace_back();
        for (std::string const& name : names) {
            bool const usual = name.size() % 2 == 0;
            only_our_exceptions(
                [&] { measurements(sheet, record_of(sheet, name, usual ? defaults : RecordDefaults{})); });
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
