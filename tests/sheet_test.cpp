#include <libdrag/sheet.hpp>

#include <filesystem>
#include <fstream>
#include <string>

#include "close.hpp"

namespace sheet_test {

using namespace libdrag;
using namespace libdrag::literals;

namespace {

Sheet sheet_of(std::string const& text) { return parse_sheet("x.csv", text); }
SheetRow row_of(Sheet const& sheet, std::size_t index = 0) { return {sheet, index}; }

void refused(std::string const& text, char const* why) {
    CAPTURE(text);
    CHECK_THROWS_WITH_AS(sheet_of(text), doctest::Contains(why), InvalidInput);
}

} // namespace

TEST_CASE("a plain table") {
    Sheet const sheet = sheet_of("Date,how,Time (s), distance  (yd) \n2026-11-25,every-2,14.32,25\n");
    REQUIRE(sheet.columns.size() == 4);
    CHECK(sheet.columns[2].name == "time");
    CHECK(sheet.columns[2].unit == "s");
    CHECK(sheet.columns[2].title == "Time (s)");
    CHECK(sheet.columns[3].name == "distance");
    REQUIRE(sheet.rows.size() == 1);
    SheetRow const row = row_of(sheet);
    CHECK(row.number() == 2);
    CHECK(row.date("date") == Date{2026, 11, 25});
    CHECK(row.text("how") == "every-2");
    CHECK(row.read<Time>("time") == 14.32_s);
    CHECK(row.read<Length>("distance") == metres(22.86));
    CHECK_FALSE(row.has("note"));
    CHECK(row.text("note").empty());
    CHECK_FALSE(row.maybe<Length>("surface"));
    CHECK(row.place("time") == "Time (s) in row 2 of x.csv");
    CHECK(sheet.notes.empty());
}

TEST_CASE("whatever ends a line, quotes a cell or comes first") {
    for (char const* end : {"\n", "\r\n", "\r"})
        for (char const* begin : {"", "\xef\xbb\xbf"}) {
            std::string const e = end;
            Sheet const sheet = sheet_of(begin + ("a,b,," + e) + "1,\"x, \"\"y\"\"" + e + "z\",,," + e + ",,,"
                                         + e + e + "\"2\" ,w" + e);
            REQUIRE(sheet.rows.size() == 2);
            CHECK(sheet.columns.size() == 2);
            CHECK(row_of(sheet).text("b") == (e == "\r" ? "x, \"y\"z" : "x, \"y\"\nz"));
            CHECK(row_of(sheet).read<double>("a") == 1.0);
            CHECK(row_of(sheet, 1).read<double>("a") == 2.0);
            CHECK(row_of(sheet, 1).number() == 5); // as the spreadsheet numbers it
        }
    CHECK(row_of(sheet_of("a,b\n1,2")).text("b") == "2"); // no line end at the end
    CHECK(row_of(sheet_of("a;b\n1,5;5'8\"\n")).text("b") == "5'8\"");
    Sheet const hinted = sheet_of("sep=;\r\na;b\r\n1;2\r\n");
    CHECK(hinted.delimiter == ';');
    CHECK(row_of(hinted).number() == 2);
    CHECK(sheet_of("a\tb\n1\t2\n").delimiter == '\t');
    CHECK(sheet_of("\"a,b,c\";b\n1;2\n").delimiter == ';');
    CHECK(sheet_of("a\n1\n").delimiter == ',');
}

TEST_CASE("what is no table says where") {
    refused("", "row 1 of x.csv: got nothing");
    refused(",,\n1,2\n", "row 1 of x.csv: got nothing");
    refused("a,b\n1,2,3\n",
            "row 2 of x.csv: got 3 cells under 2 titles; allowed: as many cells as titles; decimal commas");
    refused("a;b\n1;2;x\n", "row 2 of x.csv: got 3 cells under 2 titles; allowed: as many cells as titles");
    refused("a,A (s),a \n1,2,3\n", "row 1 of x.csv: got the column 'a' twice");
    refused("a,b\n1,\"2\n3,4\n", "row 2 of x.csv: got a cell with an opening quote");
    refused(std::string("a,b\n1,2\n3,\0\n", 12), "line 3 of x.csv: got a NUL");
    refused("\xff\xfe"
            "a\0",
            "UTF-16");
    refused("a,b\n1,Zo\xeb\n", "line 2 of x.csv: got a letter that is not UTF-8");
    refused("sep=|\na|b\n", "sep=");
    refused("a\n1" + std::string(300, ',') + "2\n", "more than 200 cells");
    CHECK(sheet_of("a\n1" + std::string(300, ',') + "\n").rows.size() == 1); // empty cells are none
    refused("time (s),time (s)\n", "twice");
    refused("time (s),TIME  [s]\n", "twice"); // however it is written
    CHECK(sheet_of("drop (deg),drop (cm)\n").columns.size() == 2);
}

TEST_CASE("numbers as spreadsheets and keyboards leave them") {
    auto const number = [](std::string const& cell, std::string const& title = "a;b", char delimiter = ';') {
        std::string text = title + "\n\"" + cell + "\"" + delimiter + "1,5\n";
        return row_of(sheet_of(text)).read<double>("a");
    };
    CHECK(number("14,32") == 14.32);
    CHECK(number("14.32") == 14.32);
    CHECK(number("'14.32") == 14.32);
    CHECK(number(" 14.32\u00a0") == 14.32);
    CHECK(number("1\u202f500") == 1500.0);
    CHECK(number("1\u00a0500,25") == 1500.25);
    CHECK(number("\u22125") == -5.0);
    CHECK(number("1,5E+01") == 15.0);
    CHECK(number("1,500") == 1.5); // a decimal comma as in the rest of the file
    CHECK(number("95%") == 0.95);
    CHECK(number("95", "a (%);b") == 0.95);
    CHECK(number("412", "a (px);b") == 412.0);
    auto const refuses = [&](std::string const& cell, char const* why, std::string const& title = "a;b",
                             char delimiter = ';') {
        CAPTURE(cell);
        CHECK_THROWS_WITH_AS((void)number(cell, title, delimiter), doctest::Contains(why), InvalidInput);
    };
    refuses("1.500", "decimal comma"); // fifteen hundred or one and a half
    refuses("1.500,5", "nothing between thousands");
    refuses("1,2,3", "nothing between thousands");
    refuses("x", "a in row 2 of x.csv");
    refuses("#VALUE!", "a in row 2 of x.csv: got '#VALUE!', which a spreadsheet could not compute");
    refuses("#DIV/0!", "could not compute");
    refuses("Err:508", "could not compute");
    refuses("####", "could not compute");
    for (char const* date : {"3-Apr", "Apr-03", "03/04/2026", "2026-04-03", "4. Apr", "3.4.2026"})
        refuses(date, "");
    refuses("3-Apr", "looks like a date; allowed: a number: a spreadsheet makes dates of 3-4");
    refuses("", "a in row 2 of x.csv: got nothing");
    // Between commas a quoted 1,500 may be either, 14,32 may not.
    CHECK(row_of(sheet_of("a,b\n\"14,32\",2\n")).read<double>("a") == 14.32);
    CHECK_THROWS_WITH_AS((void)row_of(sheet_of("a,b\n\"1,500\",2\n")).read<double>("a"),
                         doctest::Contains("nothing between thousands"), InvalidInput);
    CHECK(row_of(sheet_of("a,b\n1.500,2\n")).read<double>("a") == 1.5);
}

TEST_CASE("units: of the cell, else of the title") {
    Sheet const sheet =
        sheet_of("height (cm),mass,drop (deg),drop (cm),angle (cm)\n172,63kg,,6,4deg\n5ft8in,63,4,,6\n");
    SheetRow const first = row_of(sheet), second = row_of(sheet, 1);
    CHECK(first.read<Length>("height") == parse<Length>("height", "172cm"));
    CHECK(second.read<Length>("height") == parse<Length>("height", "5ft8in"));
    CHECK(first.read<Mass>("mass") == 63.0_kg);
    CHECK_THROWS_WITH_AS((void)second.read<Mass>("mass"), doctest::Contains("or the unit in the title"),
                         InvalidInput);
    CHECK(std::get<Length>(*first.angle_or_length("drop")) == metres(0.06));
    CHECK(std::get<Angle>(*second.angle_or_length("drop")) == degrees(4.0));
    CHECK(std::get<Angle>(*first.angle_or_length("angle")) == degrees(4.0));
    CHECK(std::get<Length>(*second.angle_or_length("angle")) == metres(0.06));
    CHECK_FALSE(first.angle_or_length("lift"));
    CHECK(first.maybe<Length>("drop") == metres(0.06));
    CHECK_THROWS_WITH_AS((void)first.maybe<Angle>("drop"), doctest::Contains("a length"), InvalidInput);
    CHECK_THROWS_WITH_AS((void)row_of(sheet_of("time (m)\n14\n")).read<Time>("time"),
                         doctest::Contains("a length"), InvalidInput);
    CHECK_THROWS_WITH_AS((void)row_of(sheet_of("time (fortnight)\n14\n")).read<Time>("time"),
                         doctest::Contains("unknown unit 'fortnight'"), InvalidInput);
    CHECK_THROWS_WITH_AS(
        (void)row_of(sheet_of("tme\n14\n")).read<Time>("time"),
        doctest::Contains("columns of x.csv: got no 'time'; allowed: a column 'time' (there is tme)"),
        InvalidInput);
}

TEST_CASE("times, and hundredths that a spreadsheet drops") {
    Sheet const sheet = sheet_of("time (s)\n14.32\n0:14.32\n1:02.40\n\"62,4\"\n\"1:02,40\"\n14.3\n");
    std::vector<double> const wanted{14.32, 14.32, 62.4, 62.4, 62.4, 14.3};
    std::size_t i = 0;
    for (SheetRow const row : sheet) CHECK(row.read<Time>("time").value() == wanted[i++]);
    CHECK(i == wanted.size());
    CHECK(sheet.notes.empty()); // 14.3 is 14.30 to any spreadsheet
    Sheet const spoilt = sheet_of("time (s)\n01:02.4\n00:01:02\n1:02.40\n");
    CHECK(row_of(spoilt, 0).read<Time>("time") == 62.4_s);
    CHECK(row_of(spoilt, 1).read<Time>("time") == 62.0_s);
    REQUIRE(spoilt.notes.size() == 1);
    CHECK(spoilt.notes[0].find("time (s) in rows 2 and 3: '01:02.4' is what a spreadsheet leaves") == 0);
    CHECK(sheet_of("time\x1f s\n00:14.3\n").notes.at(0).find("time\\x1f s in row 2: '00:14.3'") == 0);
    CHECK(sheet_of("time\n00:14.3\n").notes.size() == 1);
    CHECK(sheet_of("time\n1:02.4\n").notes.empty()); // as typed, and none of the others says more
    CHECK(sheet_of("time\n1:02.4\n1:02.40\n").notes.size() == 1); // the others do
    CHECK(sheet_of("time\n12:02.4\n").notes.empty());             // twelve minutes, as typed
    CHECK(sheet_of("split\n00:14.3\n").notes.empty());
    CHECK_THROWS_WITH_AS((void)row_of(sheet_of("time\n1:62.40\n")).read<Time>("time"),
                         doctest::Contains("time in row 2 of x.csv"), InvalidInput);
}

TEST_CASE("dates") {
    auto const date = [](std::string const& text, std::size_t index = 0) {
        return row_of(sheet_of("date\n" + text), index).date("date");
    };
    Date const day{2026, 11, 5};
    CHECK(date("2026-11-05\n") == day);
    CHECK(date("5.11.2026\n") == day);
    CHECK(date("2026-11-05 00:00:00\n") == day);
    CHECK(date("2026-11-05T00:00:00\n") == day);
    // A slash date only where another row says what comes first.
    CHECK(date("5/11/2026\n25/11/2026\n") == day);
    CHECK(date("11/5/2026\n11/25/2026\n") == day);
    CHECK(date("25/11/2026\n") == Date{2026, 11, 25});
    CHECK(date("5/11/2026\n13/11/2026\n") == day);
    CHECK(date("11/5/2026\n11/13/2026\n") == day);
    CHECK_THROWS_AS(date("5/11/2026\n12/11/2026\n"), InvalidInput);
    CHECK_THROWS_WITH_AS(date("5/11/2026\n"), doctest::Contains("date in row 2 of x.csv: got '5/11/2026'"),
                         InvalidInput);
    CHECK_THROWS_WITH_AS(date("25/11/2026\n11/25/2026\n"),
                         doctest::Contains("the day first in row 2, the month first in row 3"), InvalidInput);
    CHECK_THROWS_AS(date("25/13/2026\n"), InvalidInput);
    CHECK_THROWS_AS(date("5/11/26\n"), InvalidInput);
    CHECK_THROWS_AS(date("2026-11-05 09:30:00\n"), InvalidInput);
    CHECK_THROWS_WITH_AS(date(" ,\n5-Nov\n"), doctest::Contains("2026-11-25"), InvalidInput);
    CHECK_THROWS_WITH_AS((void)row_of(sheet_of("date,a\n,1\n")).date("date"),
                         doctest::Contains("got nothing"), InvalidInput);
}

TEST_CASE("whole numbers and words") {
    Sheet const sheet = sheet_of("strokes,name\n14,Anna\n14.0,#REF!\n14.5,\n,\"  Mia \"\n");
    CHECK(row_of(sheet).whole_number("strokes", 1, 99) == 14);
    CHECK(row_of(sheet, 1).whole_number("strokes", 1, 99) == 14);
    CHECK_THROWS_WITH_AS(
        (void)row_of(sheet, 2).whole_number("strokes", 1, 99),
        doctest::Contains("strokes in row 4 of x.csv: got '14.5'; allowed: a whole number from 1 to 99"),
        InvalidInput);
    CHECK_THROWS_AS((void)row_of(sheet).whole_number("strokes", 15, 99), InvalidInput);
    CHECK_THROWS_AS((void)row_of(sheet).whole_number("strokes", 1, 13), InvalidInput);
    CHECK_FALSE(row_of(sheet, 3).whole_number("strokes", 1, 99));
    CHECK(row_of(sheet).word("name", "a name") == "Anna");
    CHECK_THROWS_WITH_AS((void)row_of(sheet, 1).text("name"), doctest::Contains("could not compute"),
                         InvalidInput);
    CHECK_THROWS_WITH_AS((void)row_of(sheet, 2).word("name", "a name"), doctest::Contains("allowed: a name"),
                         InvalidInput);
    CHECK(row_of(sheet, 3).text("name") == "Mia");
}

TEST_CASE("a column without a title is told of when it holds something") {
    Sheet const merged = sheet_of("swim,,time (s)\n1,x,14.3\n");
    REQUIRE(merged.notes.size() == 1);
    CHECK(merged.notes[0] == "Column B has no title and is not read (row 2 has 'x' there)");
    CHECK(sheet_of("swim,,time (s)\n1,,14.3\n").notes.empty());
}

TEST_CASE("a file of a table") {
    auto const folder = std::filesystem::temp_directory_path() / "libdrag_sheet_test";
    std::filesystem::create_directories(folder);
    std::string const path = (folder / "x.csv").string();
    std::ofstream(path) << "how,time (s)\nevery-2,14.32\n";
    CHECK(read_sheet(path).rows.size() == 1);
    std::ofstream(path, std::ios::trunc).flush();
    CHECK_THROWS_WITH_AS(read_sheet(path), doctest::Contains("empty"), InvalidInput);
    CHECK_THROWS_WITH_AS(read_sheet((folder / "none.csv").string()), doctest::Contains("an existing file"),
                         InvalidInput);
    CHECK_THROWS_WITH_AS(read_sheet(folder.string()), doctest::Contains("an existing file"), InvalidInput);
    std::ofstream(path, std::ios::trunc) << std::string(25'000'001, '\n');
    CHECK_THROWS_WITH_AS(read_sheet(path), doctest::Contains("up to 25 MB"), InvalidInput);
    std::filesystem::remove_all(folder);
}

} // namespace sheet_test
