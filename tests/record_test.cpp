#include <libdrag/record.hpp>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <set>
#include <string>
#include <thread>

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <libdrag/quantity.hpp>

#include "append.hpp"
#include "close.hpp"

namespace record_test {

using namespace libdrag;
using namespace libdrag::literals;
namespace fs = std::filesystem;

namespace {

constexpr char const* titles =
    "date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,"
    "drop (deg),drop sd (deg),side,note\n";

Record record_in(std::string const& rows, std::string_view name = "Anna") {
    return record_of(parse_sheet("squad.csv", titles + rows), name);
}
void refused(std::string const& rows, char const* why) {
    CAPTURE(rows);
    CHECK_THROWS_WITH_AS(record_in(rows), doctest::Contains(why), InvalidInput);
}

/// A folder of its own that goes when the test does.
class Folder {
public:
    Folder() {
        static int count = 0;
        path_ = fs::temp_directory_path()
                / ("libdrag_record_" + std::to_string(::getpid()) + "_" + std::to_string(++count));
        fs::create_directories(path_);
    }
    ~Folder() { fs::remove_all(path_); }
    Folder(Folder const&) = delete;
    Folder& operator=(Folder const&) = delete;
    [[nodiscard]] std::string operator/(std::string const& name) const { return (path_ / name).string(); }

private:
    fs::path path_;
};

std::string text_in(std::string const& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}
void write_text(std::string const& path, std::string const& text) {
    std::ofstream(path, std::ios::binary | std::ios::trunc) << text;
}

PoolTest swim_of(double seconds_swum, std::string note = {}, int order = 0) {
    PoolTest test{{2026, 11, 25}, Stroke::crawl, metres(25.0)};
    test.set = "1";
    TimedSwim swim{{{2}}, seconds(seconds_swum), order};
    swim.note = std::move(note);
    test.swims.push_back(std::move(swim));
    return test;
}

PoolTest const& test_in(Record const& record, std::size_t index = 0) {
    return std::get<PoolTest>(record.measurements.at(index));
}

} // namespace

// --- reading ----------------------------------------------------------------------------------------

TEST_CASE("rows of one date, set and stroke make one pool test") {
    Record const record =
        record_in("2026-11-25,Anna,swim,crawl,snorkel,1,1,25,20,14.10,stopwatch,13,,,,\n"
                  "2026-11-25,Mia,swim,crawl,every-2,1,1,50,,nonsense,,,,,,\n"
                  "2026-11-25, anna ,swim,free,every-2,1,2,25,20,14.40,watch,14,,,,Left Out: cough\n"
                  "2026-11-25,Anna,swim,fly,every-1,1,1,25,,15,pads,,,,,\n"
                  "2026-11-24,Anna,swim,crawl,every-2,1,1,25,,14.2,,,,,,\n"
                  "2026-11-25,Anna,swim,crawl,every-2,2,1,25,,14.3,,,,,,\n"
                  "2026-11-25,Anna,swim,crawl,every-4,1,,,,14.2,,,,,,\n");
    CHECK(record.swimmer == "Anna");
    CHECK(record.notes.empty());
    REQUIRE(record.measurements.size() == 4);
    CHECK(date_of(record.measurements[0]) == Date{2026, 11, 24}); // by date
    PoolTest const& test = test_in(record, 1);
    CHECK(test.date == Date{2026, 11, 25});
    CHECK(test.distance == 25.0_m);
    CHECK(test.surface == 20.0_m);
    CHECK(test.by == TimedBy::stopwatch);
    CHECK_FALSE(test.turns);
    REQUIRE(test.swims.size() == 3);
    CHECK(test.swims[0].how.snorkel());
    CHECK(test.swims[0].time == 14.10_s);
    CHECK(test.swims[0].strokes == 13);
    CHECK(test.swims[0].line == 2);
    CHECK_FALSE(test.swims[0].left_out);
    CHECK(test.swims[1].left_out);
    CHECK(test.swims[1].order == 2);
    CHECK(test.swims[2].order == 3); // after the row before
    CHECK(test.swims[2].how.breathing == Breathing{4});
    CHECK(test_in(record, 2).stroke == Stroke::fly);
    CHECK(test_in(record, 2).by == TimedBy::pads);
    CHECK(test_in(record, 3).set == "2");
    // Another's row is not looked at, her own is.
    CHECK_THROWS_WITH_AS(record_in("2026-11-25,Mia,swim,crawl,every-2,1,1,50,,nonsense,,,,,,\n", "Mia"),
                         doctest::Contains("time (s) in row 2 of squad.csv"), InvalidInput);
}

TEST_CASE("swims stand in the order swum, not of the file") {
    Record const record = record_in("2026-11-25,Anna,swim,,every-2,,3,25,,14.3,,,,,,\n"
                                    "2026-11-25,Anna,swim,,snorkel,,1,25,,14.1,,,,,,\n"
                                    "2026-11-25,Anna,swim,,every-4,,2,25,,14.2,,,,,,\n");
    std::vector<int> orders;
    for (TimedSwim const& swim : test_in(record).swims) orders.push_back(swim.order);
    CHECK(orders == std::vector{1, 2, 3});
    CHECK(test_in(record).swims[0].how.snorkel());
}

TEST_CASE("a turn in the timed part is told by the distance or the note") {
    auto const turns = [](char const* distance, char const* note) {
        return test_in(record_in("2026-11-25,Anna,swim,,every-2,,1," + std::string(distance) + ",,40,,,,,,"
                                 + note + "\n"))
            .turns;
    };
    CHECK_FALSE(turns("50", ""));
    CHECK(turns("75", ""));
    CHECK(turns("50", "with a turn"));
    CHECK(turns("50", "2 turns"));
    CHECK_FALSE(turns("50", "returned late"));
    CHECK_FALSE(turns("50", "no turn"));
    CHECK_FALSE(turns("50", "without a turn"));
}

TEST_CASE("swims that cannot be") {
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,0,,,,,,\n",
            "time (s) in row 2 of squad.csv: got 0 s; allowed: 8.33 s to 125 s");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,1:61.00,,,,,,\n", "time (s) in row 2");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,140,,,,,,\n", "8.33 s to 125 s for 25.0 m");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,0.0007222,,,,,,\n", "a part of a day");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,,,,,,,\n", "time (s) in row 2 of squad.csv: got nothing");
    refused("2026-11-25,Anna,swim,,every-2,,1,,,14,,,,,,\n",
            "distance (m) in row 2 of squad.csv: got nothing");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,30,14,,,,,,\n", "surface (m) in row 2");
    refused("2026-11-25,Anna,swim,,,,1,25,,14,,,,,,\n", "how in row 2 of squad.csv: got nothing");
    refused("2026-11-25,Anna,swim,,3-Apr,,1,25,,14,,,,,,\n", "which looks like a date");
    refused("2026-11-25,Anna,swim,crwl,every-2,,1,25,,14,,,,,,\n",
            "stroke in row 2 of squad.csv: got 'crwl'; allowed: crawl");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,14,sundial,,,,,\n", "by in row 2");
    refused("2026-11-25,Anna,swim,,every-2,,1.5,25,,14,,,,,,\n", "order in row 2");
    refused("2026-11-25,Anna,swim,,every-2,,1,25,,14,,0,,,,\n", "strokes in row 2");
    refused("2026-11-25,Anna,,,every-2,,1,25,,14,,,,,,\n",
            "kind in row 2 of squad.csv: got nothing; allowed: swim, drop");
    refused("25/11/26,Anna,swim,,every-2,,1,25,,14,,,,,,\n", "date in row 2");
    std::string const first = "2026-11-25,Anna,swim,,every-2,,1,25,,14,,,,,,\n";
    refused(first + "2026-11-25,Anna,swim,,every-2,,1,25,,14,,,,,,\n",
            "order in row 3 of squad.csv: got 1; allowed: each number once");
    refused(first + "2026-11-25,Anna,swim,,every-2,,2,50,,28,,,,,,\n",
            "distance (m) in row 3 of squad.csv: got '50'; allowed: 25.00 m or nothing, as in row 2");
    refused(first + "2026-11-25,Anna,swim,,every-2,,2,25,20,14,,,,,,\n", "surface (m) in row 3");
    refused(first + "2026-11-25,Anna,swim,,every-2,,2,25,,14,pads,,,,,\n",
            "by in row 3 of squad.csv: got 'pads'; allowed: stopwatch or nothing, as in row 2");
}

TEST_CASE("other kinds") {
    Record const record =
        record_in("2026-11-25,Anna,drop,crawl,,,,,,,,,4,0.5,both,five breaths\n"
                  "2026-11-25,Anna,drop,crawl,every-2; low head,,,,,,,,6cm,2.5cm,,by eye\n"
                  "2026-11-25,Anna,frames,crawl,every-2,,,,,,,,,,away,film1.csv\n"
                  "2026-11-25,Anna,glide,,,1,,1.1,,0.5,,,,,,\n2026-11-25,Anna,glide,,,1,,0,,0,,,,,,\n"
                  "2026-11-25,Anna,glide,,,1,,1,,0.5,,,8,,,\n"
                  "2026-11-25,Anna,loaded,,,1,1,25,,14,,,,,,\n2026-11-25,Anna,loaded,,every-2; tether "
                  "20N,1,2,25,,16,,,,,,\n"
                  "2026-11-25,Anna,loaded,,every-2; tow "
                  "10N,1,3,25,,13,,,,,,\n2026-11-25,Anna,loaded,,every-2,1,4,25,,14.2,,,,,,\n"
                  "2026-11-25,Anna,race,,100 free; scm,,,,,1:01.40,,,,,,\n"
                  "2026-11-25,Anna,remark,,,,,,,,,,,,,tired\n");
    REQUIRE(record.measurements.size() == 7);
    auto const& film = std::get<SeenDrop>(record.measurements[0]);
    CHECK(std::get<Angle>(film.drop) == degrees(4.0));
    CHECK(std::get<Angle>(*film.sd) == degrees(0.5));
    CHECK(film.from == SeenFrom::both);
    CHECK(film.how.breathing == usual_breathing(Stroke::crawl));
    auto const& eye = std::get<SeenDrop>(record.measurements[1]);
    CHECK(std::get<Length>(eye.drop) == metres(0.06));
    CHECK(std::get<Length>(*eye.sd) == parse<Length>("sd", "2.5cm"));
    CHECK(eye.from == SeenFrom::deck);
    CHECK(eye.how.cue == "low head");
    REQUIRE(record.films.size() == 1);
    CHECK(record.films[0].path == "film1.csv");
    CHECK(record.films[0].side == SeenFrom::away);
    CHECK(record.films[0].line == 4);
    auto const& glide = std::get<Glide>(record.measurements[2]);
    REQUIRE(glide.points.size() == 2);
    CHECK(glide.points[0].at == 0.0_s); // in time
    CHECK(glide.points[1].distance == 1.1_m);
    CHECK(std::get<Glide>(record.measurements[3]).held == degrees(8.0));
    auto const& race = std::get<RaceResult>(record.measurements[4]);
    CHECK(race.event == parse_event("100 free", Course::scm));
    CHECK(race.time == 61.4_s);
    auto const& towed = std::get<LoadedSwims>(record.measurements[5]);
    CHECK(towed.load.value() == -10.0);
    CHECK(towed.loaded == std::vector<Time>{13.0_s});
    auto const& loaded = std::get<LoadedSwims>(record.measurements[6]);
    CHECK(loaded.load.value() == 20.0);
    CHECK(loaded.free == std::vector<Time>{14.0_s, 14.2_s});
    CHECK(loaded.loaded == std::vector<Time>{16.0_s});
    REQUIRE(record.remarks.size() == 1);
    CHECK(record.remarks[0].text == "tired");
    CHECK(record.notes.empty());

    refused("2026-11-25,Anna,drop,,,,,,,,,,,,,\n", "drop (deg) in row 2 of squad.csv: got nothing");
    refused("2026-11-25,Anna,drop,,,,,,,,,,50,,,\n", "drop (deg) in row 2");
    refused("2026-11-25,Anna,drop,,,,,,,,,,4,0,,\n", "drop sd (deg) in row 2");
    refused("2026-11-25,Anna,drop,,,,,,,,,,4,,left,\n", "side in row 2");
    refused("2026-11-25,Anna,frames,,,,,,,,,,,,,\n", "note in row 2");
    refused("2026-11-25,Anna,frames,,,,,,,,,,,,deck,x.csv\n", "side in row 2");
    refused("2026-11-25,Anna,race,,100 fre; scm,,,,,1:01,,,,,,\n", "how in row 2");
    refused("2026-11-25,Anna,race,,100 free,,,,,20,,,,,,\n", "time (s) in row 2");
    refused("2026-11-25,Anna,glide,,,,,1,,1,,,,,,\n2026-11-25,Anna,glide,,,,,2,,1,,,,,,\n", "each time once");
    Record const lone = record_in("2026-11-25,Anna,loaded,,every-2; tether 20N,1,2,25,,16,,,,,,\n");
    CHECK(lone.measurements.empty());
    CHECK(lone.notes.at(0)
          == "Loaded swims of 2026-11-25 (row 2) are not used: there is no free swim in their set.");
}

TEST_CASE("what is not known stays and is told of") {
    Record const record =
        record_of(parse_sheet("squad.csv", "date,swimmer,kind,how,distance (yd),time,mood\n"
                                           "25/11/2026,Anna,swim,every-2,25,14.3,good\n"
                                           "25/11/2026,Anna,video,,,,\n25/11/2026,Anna,swimm,,,,\n"
                                           "25/11/2026,,swim,every-2,25,14.3,\n"),
                  "ANNA");
    REQUIRE(record.measurements.size() == 1);
    CHECK(test_in(record).distance == metres(22.86));
    CHECK(record.notes
          == std::vector<std::string>{
              "Rows of the kind 'video' (row 3) are kept and not read.",
              "Rows of the kind 'swimm' (row 4) are kept and not read; swim would be.",
              "Kept and not read: the columns mood.", "Row 5 has no swimmer and is not read."});
}

TEST_CASE("names") {
    Sheet const sheet = parse_sheet("squad.csv", std::string(titles)
                                                     + "2026-11-25,Anna,remark,,,,,,,,,,,,,x\n"
                                                       "2026-11-25,Mia,remark,,,,,,,,,,,,,y\n"
                                                       "2026-11-25,ANNA,remark,,,,,,,,,,,,,z\n");
    CHECK(swimmers_in(sheet) == std::vector<std::string>{"Anna", "Mia"});
    CHECK(record_of(sheet, " anna ").remarks.size() == 2);
    CHECK_THROWS_WITH_AS(record_of(sheet, "Ana"), "unknown swimmer in squad.csv 'Ana'; did you mean Anna?",
                         UnknownKey);
    CHECK_THROWS_WITH_AS(record_of(sheet, "Zorro"), doctest::Contains("one of Anna, Mia"), UnknownKey);
    CHECK_THROWS_WITH_AS(record_of(sheet, ""), doctest::Contains("one of Anna, Mia"), InvalidInput);
    std::string squad = "swimmer\n";
    for (int i = 0; i < 300; ++i) squad += "\x18\x18 Swimmer of the long name " + std::to_string(i) + "\n";
    try {
        (void)record_of(parse_sheet("squad.csv", squad), "");
    } catch (InvalidInput const& error) {
        CHECK(std::string(error.what()).find("\\x18\\x18 Swimmer of the long name 0, ") != std::string::npos);
        CHECK(std::string(error.what()).size() < 400);
    }
    CHECK(record_of(parse_sheet("x", "swimmer,kind,date,note\nMia,remark,2026-11-25,x\n"), "").swimmer
          == "Mia");
}

TEST_CASE("a file of one pool test needs how and time") {
    Sheet const sheet = parse_sheet("t.csv", "how;time (s)\nsnorkel;14,1\nevery-2;14,5\n");
    RecordDefaults defaults;
    CHECK_THROWS_WITH_AS(record_of(sheet, ""), doctest::Contains("no 'date'"), InvalidInput);
    defaults.date = Date{2026, 11, 25};
    CHECK_THROWS_WITH_AS(record_of(sheet, "", defaults), doctest::Contains("no 'distance'"), InvalidInput);
    defaults.distance = 25.0_m;
    defaults.stroke = Stroke::fly;
    defaults.by = TimedBy::pads;
    Record const record = record_of(sheet, "", defaults);
    REQUIRE(record.measurements.size() == 1);
    CHECK(test_in(record).swims.size() == 2);
    CHECK(test_in(record).stroke == Stroke::fly);
    CHECK(test_in(record).by == TimedBy::pads);
    CHECK(test_in(record).swims[1].time == 14.5_s);
    CHECK(test_in(record).swims[1].order == 2);
}

// --- writing ----------------------------------------------------------------------------------------

TEST_CASE("what is written is read") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    Date const day{2026, 11, 25};
    PoolTest test = swim_of(14.32, "start late; \"again\", please");
    test.surface = 20.0_m;
    test.by = TimedBy::video;
    test.turns = true;
    test.swims[0].left_out = true;
    test.swims[0].strokes = 14;
    test.swims[0].how = parse_condition("how", "every-3; belt 1.5kg; low head", Stroke::crawl);
    test.swims.push_back({{{0}, {Snorkel{}}}, 62.4_s});
    SeenDrop drop{day,           Stroke::fly, {{1}}, metres(0.06), parse_angle_or_length("sd", "1.5deg"),
                  SeenFrom::away};
    drop.breaths = 5;
    Glide glide{day, degrees(8.0), metres(0.6), {{0.5_s, 1.1_m}, {1.0_s, metres(1.0 / 3.0)}}, 0, "2"};
    LoadedSwims loaded{
        day, Stroke::back, Force::from_value(-12.5), 25.0_m, TimedBy::pads, {20.0_s, 20.1_s}, {19.0_s},
        0,   "a"};
    RaceResult race{day, parse_event("200 IM", Course::scy), 150.25_s};
    FilmFile film{day, Stroke::crawl, {{2}}, SeenFrom::both, "film.csv"};
    Appended const done =
        append(path, "Anna", {test, drop, glide, loaded, race, film, Remark{day, "tired\nand cold"}});
    CHECK(done.created);
    REQUIRE(done.rows.rows.size() == 11);
    CHECK(done.rows.rows.front().number == 2);
    CHECK(done.swimmer == "Anna");
    CHECK_FALSE(done.cautions.empty()); // of the belt and the tow
    CHECK(done.notes.empty());
    CHECK(text_in(path).find(
              "date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,"
              "drop (deg),drop sd (deg),side,breaths,depth (m),note\n")
          == 0);
    CHECK(text_in(path).find(
              "\n2026-11-25,Anna,swim,crawl,every-3; belt 1.5 kg; low head,1,1,25,20,14.32,video,14,,,,,,"
              "\"start late; \"\"again\"\", please; left out; with a turn\"\n")
          != std::string::npos);
    Record const record = read_record(path, "anna");
    CHECK(record.notes.empty());
    REQUIRE(record.measurements.size() == 5);
    PoolTest const& swims = test_in(record);
    CHECK(swims.surface == test.surface);
    CHECK(swims.by == TimedBy::video);
    CHECK(swims.turns);
    CHECK(swims.swims[0].left_out);
    CHECK_FALSE(swims.swims[1].left_out);
    CHECK(swims.swims[0].how == test.swims[0].how);
    CHECK(swims.swims[0].strokes == 14);
    CHECK(swims.swims[1].time == 62.4_s);
    CHECK(swims.swims[1].order == 2);
    auto const& seen = std::get<SeenDrop>(record.measurements[1]);
    CHECK(std::get<Length>(seen.drop) == metres(0.06));
    CHECK(seen.breaths == 5);
    CHECK(std::get<Angle>(*seen.sd) == std::get<Angle>(*drop.sd));
    CHECK(seen.from == SeenFrom::away);
    CHECK(seen.stroke == Stroke::fly);
    auto const& glided = std::get<Glide>(record.measurements[2]);
    CHECK(glided.held == degrees(8.0));
    CHECK(glided.set == "2");
    CHECK(glided.depth == metres(0.6));
    CHECK(glided.points[1].distance == metres(1.0 / 3.0));
    CHECK(std::get<RaceResult>(record.measurements[3]).event == race.event);
    CHECK(std::get<RaceResult>(record.measurements[3]).time == race.time);
    auto const& swum = std::get<LoadedSwims>(record.measurements[4]);
    CHECK(swum.load == loaded.load);
    CHECK(swum.free == loaded.free);
    CHECK(swum.loaded == loaded.loaded);
    CHECK(swum.set == "a");
    CHECK(swum.stroke == Stroke::back);
    CHECK(swum.by == TimedBy::pads);
    CHECK(record.films.at(0).path == "film.csv");
    CHECK(record.remarks.at(0).text == "tired and cold");
    // Behind what is there; the next number of the set.
    PoolTest next = swim_of(14.5);
    next.by = TimedBy::video;
    Appended const again = append(path, "ANNA", {next});
    CHECK_FALSE(again.created);
    REQUIRE(again.rows.rows.size() == 1);
    CHECK((*again.rows.begin()).number() == 13);
    CHECK((*again.rows.begin()).whole_number("order", 1, 99) == 3);
    CHECK(again.cautions.empty());
    // The next of another's, or of another set, is the first.
    CHECK((*append(path, "Mia", {swim_of(14.5)}).rows.begin()).text("order") == "1");
    next.set = "2";
    CHECK((*append(path, "Anna", {next}).rows.begin()).text("order") == "1");
}

TEST_CASE("every race is read back as it was") {
    Folder const folder;
    for (Course const course : {Course::lcm, Course::scm, Course::scy})
        for (Event const& event : events(course)) {
            CAPTURE(to_string(event));
            std::string const path = folder / "race.csv";
            fs::remove(path);
            Time const time = race_distance(event) / metres_per_second(1.3);
            append(path, "Anna", {RaceResult{{2026, 11, 25}, event, time}});
            auto const back = std::get<RaceResult>(read_record(path, "Anna").measurements.at(0));
            CHECK(back.event == event);
            CHECK(back.time == time);
        }
}

TEST_CASE("a file keeps its columns, units, marks and line ends; a column that is missing is asked for") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    std::string const head =
        "Note;Time (min);swimmer;date;distance (cm);how;mood\r\nx;0,24;Mia;25.11.2026;2500;every-2;gut\r\n";
    write_text(path, head);
    PoolTest test = swim_of(15.0, "a;b");
    CHECK_THROWS_WITH_AS(append(path, "Anna", {test}), doctest::Contains("no 'set'; allowed: a column 'set'"),
                         InvalidInput);
    CHECK(text_in(path) == head);
    test.set.clear();
    append(path, "Anna", {test});
    CHECK(text_in(path) == head + "\"a;b\";0,25;Anna;2026-11-25;2500;every-2;\r\n");
    // A drop in degrees in a file of centimetres has its own unit; a first line without an end is whole.
    write_text(path, "date\tswimmer\tkind\thow\tdrop (cm)\tside");
    SeenDrop drop{{2026, 11, 25}, Stroke::crawl, {{2}}, metres(0.065), {}, SeenFrom::both};
    append(path, "Anna", {drop});
    drop.drop = degrees(4.0);
    append(path, "Anna", {drop});
    CHECK(text_in(path)
          == "date\tswimmer\tkind\thow\tdrop (cm)\tside\n2026-11-25\tAnna\tdrop\tevery-2\t6.5\tboth\n"
             "2026-11-25\tAnna\tdrop\tevery-2\t4 deg\tboth\n");
    CHECK(std::get<Angle>(std::get<SeenDrop>(read_record(path, "Anna").measurements.at(1)).drop)
          == degrees(4.0));
    // Between semicolons the first number has a comma, unless others have points.
    test.swims[0].note.clear();
    write_text(path, "date;swimmer;how;distance (m);time (s)\n");
    append(path, "Anna", {test});
    append(path, "Mia", {test});
    CHECK(text_in(path)
          == "date;swimmer;how;distance (m);time (s)\n2026-11-25;Anna;every-2;25;15,00\n"
             "2026-11-25;Mia;every-2;25;15,00\n");
    write_text(path, "date;swimmer;how;distance (m);time (s)\r2026-11-25;Mia;every-2;25;15.5\r");
    append(path, "Anna", {test});
    CHECK(text_in(path).find("15.5\r2026-11-25;Anna;every-2;25;15.00\r") != std::string::npos);
}

TEST_CASE("what the reader would refuse is never written") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    auto const refuses = [&](std::string const& name, Seen const& seen, char const* why) {
        CHECK_THROWS_WITH(append(path, name, {seen}), doctest::Contains(why));
        CHECK_FALSE(fs::exists(path));
    };
    refuses("Anna", swim_of(0.0), "time (s) in row 2");
    refuses("Anna", swim_of(14.3, "=1+1"), "a spreadsheet would compute");
    refuses("Anna", swim_of(14.3, "@x"), "a spreadsheet would compute");
    refuses("Anna", swim_of(14.3, "3-4"), "a text of which a spreadsheet makes no date");
    refuses("Anna", swim_of(14.3, std::string(2000, 'x')), "up to 1000");
    refuses("", swim_of(14.3), "name");
    refuses("Anna", SeenDrop{{2026, 11, 25}, Stroke::crawl, {{2}}, degrees(60.0)}, "drop (deg) in row 2");
    CHECK_THROWS_AS(append(path, "Anna", {}), InvalidInput);
    append(path, "Anna", {swim_of(14.3, {}, 1)});
    std::string const before = text_in(path);
    CHECK_THROWS_WITH_AS(append(path, "Anna", {swim_of(14.3, {}, 1)}), doctest::Contains("each number once"),
                         InvalidInput);
    PoolTest longer = swim_of(28.0);
    longer.distance = 50.0_m;
    CHECK_THROWS_WITH_AS(append(path, "Anna", {longer}), doctest::Contains("25.00 m or nothing, as in row 2"),
                         InvalidInput);
    CHECK(text_in(path) == before);
    // An old row of hers that cannot be read is told of and does not stop her; a broken table does.
    write_text(path, before + "yesterday,Anna,remark,,,,,,,,,,,,,x\n");
    Appended const done = append(path, "Anna", {swim_of(14.3, {}, 2)});
    REQUIRE(done.notes.size() == 1);
    CHECK(done.notes[0].find("An earlier row cannot be read: date in row 3") == 0);
    std::string const broken = before + "a,b,\"c\n";
    write_text(path, broken);
    CHECK_THROWS_AS(append(path, "Anna", {swim_of(14.3)}), InvalidInput);
    CHECK(text_in(path) == broken);
}

TEST_CASE("a file that a spreadsheet holds is left alone") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    append(path, "Anna", {swim_of(14.3)});
    std::string const before = text_in(path);
    write_text(folder / ".~lock.squad.csv#", "held");
    CHECK_THROWS_WITH_AS(append(path, "Anna", {swim_of(14.4)}), doctest::Contains("no spreadsheet has open"),
                         InvalidInput);
    CHECK(text_in(path) == before);
    fs::remove(folder / ".~lock.squad.csv#");
    append(path, "Anna", {swim_of(14.4)});
    CHECK(read_record(path, "Anna").measurements.size() == 1);
}

TEST_CASE("a row that was cut off is moved away, a whole one without a line end stays") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    append(path, "Anna", {swim_of(14.3), swim_of(14.4)});
    std::string const whole = text_in(path);
    std::size_t const second = whole.rfind("2026-11-25");
    std::size_t kept = 0, moved = 0;
    for (std::size_t cut = second + 1; cut < whole.size(); ++cut) {
        CAPTURE(cut);
        fs::remove(path + ".cut-off");
        fs::remove(path + ".before-repair");
        write_text(path, whole.substr(0, cut));
        Appended const done = append(path, "Anna", {swim_of(14.5)});
        REQUIRE(done.notes.size() == 1);
        std::size_t const rows = test_in(read_record(path, "Anna")).swims.size();
        if (rows == 3) { // cut at the very end, and nothing is lost
            ++kept;
            CHECK(text_in(path).find(whole) == 0);
            continue;
        }
        ++moved;
        CHECK(rows == 2);
        CHECK(text_in(path + ".before-repair") == whole.substr(0, cut));
        CHECK(text_in(path + ".cut-off") == whole.substr(second, cut - second) + "\n");
        CHECK(text_in(path).find(whole.substr(0, second)) == 0);
    }
    CHECK(kept == 1);
    CHECK(moved > 30);
}

TEST_CASE("a file damaged anyhow is appended to or left as it is") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    append(path, "Anna",
           {swim_of(14.3), SeenDrop{{2026, 11, 25}, Stroke::crawl, {{2}}, degrees(4.0)},
            swim_of(14.4, "\"a\", b")});
    std::string const good = text_in(path);
    std::mt19937 random(7);
    int written = 0, left = 0;
    for (int i = 0; i < 500; ++i) {
        std::string text = good;
        for (std::size_t edits = 1 + random() % 3; edits > 0 && !text.empty(); --edits) {
            std::size_t const at = random() % text.size();
            static constexpr char bytes[] = ",;\"\n\r\t.0:=#/-aA '\0\xff\xc2";
            switch (random() % 4) {
            case 0: text[at] = bytes[random() % sizeof bytes]; break;
            case 1: text.erase(at, random() % 12); break;
            case 2: text.insert(at, 1, bytes[random() % sizeof bytes]); break;
            case 3: text.insert(at, text.substr(random() % text.size(), random() % 40)); break;
            }
        }
        CAPTURE(text);
        write_text(path, text);
        fs::remove(path + ".cut-off");
        try {
            Appended const done = append(path, "Anna", {swim_of(14.5, "new")});
            ++written;
            std::string const now = text_in(path);
            std::string const moved = fs::exists(path + ".cut-off") ? text_in(path + ".cut-off") : "\n";
            std::string const kept = text.substr(0, text.size() - moved.size() + 1);
            CHECK(now.substr(0, kept.size()) == kept);
            CHECK(kept + moved == text + "\n");
            Sheet const sheet = read_sheet(path);
            CHECK(sheet.rows.back().number == (*done.rows.begin()).number());
            CHECK(SheetRow(sheet, sheet.rows.size() - 1).text("note") == "new");
        } catch (std::invalid_argument const&) {
            ++left;
            CHECK(text_in(path) == text);
        }
    }
    CHECK(written > 100);
    CHECK(left > 30);
}

TEST_CASE("a full disk leaves the file as it was") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    append(path, "Anna", {swim_of(14.3)});
    std::string const before = text_in(path);
    for (std::size_t const room : {std::size_t{0}, std::size_t{1}, std::size_t{20}}) {
        pid_t const child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            std::signal(SIGXFSZ, SIG_IGN);
            rlimit const limit{before.size() + room, before.size() + room};
            ::setrlimit(RLIMIT_FSIZE, &limit);
            try {
                append(path, "Anna", {swim_of(14.4)});
            } catch (InvalidInput const& error) {
                ::_exit(std::string(error.what()).find("room left") != std::string::npos ? 7 : 8);
            }
            ::_exit(0);
        }
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WEXITSTATUS(status) == 7);
        CHECK(text_in(path) == before);
    }
}

TEST_CASE("a row is corrected in a new file, and nothing else changes") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    // A byte order mark, decimal commas, a quoted line end, a column of the coach's own, half an hour of work.
    std::string const head = "\xef\xbb\xbf"
                             "date;swimmer;kind;how;distance (yd);time (s);note;mood\r\n"
                             "2026-11-25;Anna;swim;every-2;25;14,30;\"two\r\nlines\";good\r\n";
    std::string const row = "2026-11-25;Anna;swim;snorkel;25;41,20;late;\"so; so\"\r\n",
                      tail = "2026-11-25;Mia;swim;every-2;25;19,99;;\r\n";
    write_text(path, head + row + tail);
    Appended const done = correct(path, 3, {{"time", 14.2_s}, {"note", std::string("left out"), true}});
    CHECK(text_in(path)
          == head + "2026-11-25;Anna;swim;snorkel;25;14,20;\"late; left out\";\"so; so\"\r\n" + tail);
    CHECK(text_in(path + ".1") == head + row + tail);
    CHECK(done.swimmer == "Anna");
    CHECK((*done.rows.begin()).number() == 3);
    TimedSwim const& swim = test_in(read_record(path, "Anna")).swims.back();
    CHECK_CLOSE(swim.time.value(), 14.2, 1e-12);
    CHECK(swim.left_out);
    // Whose row it is, and a length in another unit than the title's.
    std::string const second = text_in(path);
    correct(path, 4, {{"swimmer", std::string("Anna")}, {"how", std::string("never; belt 2kg")}});
    CHECK(text_in(path + ".2") == second);
    CHECK(test_in(read_record(path, "Anna")).swims.size() == 3);
    write_text(folder / "one.csv",
               "date,swimmer,kind,how,distance (yd),time (s)\n2026-11-25,Mia,swim,never,25,14.2\n");
    correct(folder / "one.csv", 2, {{"distance", 24.0_m}});
    CHECK_CLOSE(test_in(read_record(folder / "one.csv", "Mia")).distance.value(), 24.0, 1e-12);
    // What the reader refuses, a row that is not there, a column that is not there: nothing is written.
    std::string const third = text_in(path);
    for (auto const& [number, correction] :
         std::vector<std::pair<std::size_t, Correction>>{{3, {"time", 3600.0_s}},
                                                         {4, {"distance", 25.0_m}},
                                                         {3, {"how", std::string("upside down")}},
                                                         {3, {"note", std::string("=1+1")}},
                                                         {3, {"depth", 0.6_m}},
                                                         {1, {"time", 14.2_s}},
                                                         {99, {"time", 14.2_s}}})
        CHECK_THROWS_AS(correct(path, number, {correction}), std::invalid_argument);
    CHECK_THROWS_AS(correct(path, 3, std::vector<Correction>{}), InvalidInput);
    // By what the row says; a column that the file need not have.
    Correction spare{"depth", 0.6_m};
    spare.needed = false;
    correct(path, 3, [&](SheetRow const& row) {
        return std::vector<Correction>{{"mood", row.text("mood") + "!"}, spare};
    });
    CHECK(text_in(path).find(";\"so; so!\"\r\n") != std::string::npos);
    fs::rename(path + ".3", path);
    CHECK_THROWS_AS(correct(folder / "none.csv", 3, {{"time", 14.2_s}}), InvalidInput);
    write_text(folder / ".~lock.squad.csv#", "");
    CHECK_THROWS_WITH_AS(correct(path, 3, {{"time", 14.1_s}}), doctest::Contains("close it there"),
                         InvalidInput);
    CHECK(text_in(path) == third);
    CHECK_FALSE(fs::exists(path + ".3"));
    CHECK_FALSE(fs::exists(folder / "none.csv"));
}

TEST_CASE("a load and a race as a row has them") {
    auto const how = [](std::string const& text) { return parse_condition("how", text, Stroke::crawl); };
    auto const newtons = [](double n) { return Force::from_value(n); };
    CHECK(to_string(against(newtons(20.0), how("every-4; belt 2kg; low head")))
          == to_string(how("every-4; belt 2kg; tether 20N; low head")));
    CHECK(to_string(against(newtons(-15.0), how("every-2; tether 20N"))) == "every-2; tow 15 N");
    CHECK(to_string(against(newtons(20.0), how("every-2; tow 15 N")))
          == to_string(how("every-2; tether 20N")));
    CHECK(to_string(against(Force{}, how("every-2; tow 15 N"))) == "every-2");
    for (Course const course : {Course::lcm, Course::scm, Course::scy})
        for (Event const& event : events(course)) {
            CAPTURE(words_of(event));
            CHECK(to_string(race_in(words_of(event))) == to_string(event));
            CHECK(race_in(words_of(event)).course == course);
        }
    CHECK(race_in("200 im").course == Course::lcm);
    // What is corrected stands in place of its part, which may be damaged.
    auto const corrected = [](std::optional<std::string> const& event,
                              std::optional<std::string> const& course) {
        return words_of(race_in("100 free; scm", event, course));
    };
    CHECK(corrected("200 back", {}) == "200 backstroke; scm");
    CHECK(corrected({}, "scy") == "100 freestyle; scy");
    CHECK(corrected(" 200 back ", "lcm") == "200 backstroke; lcm");
    CHECK(words_of(race_in("#REF!; pond", "200 back", "lcm")) == "200 backstroke; lcm");
    CHECK_THROWS_AS(corrected("100 free; scm", {}), UnknownKey);
    CHECK_THROWS_AS(race_in("100 free; pond"), UnknownKey);
    CHECK_THROWS_AS(race_in(""), UnknownKey);
}

TEST_CASE("an end in the middle of a correction leaves the old file or the new") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    append(path, "Anna", {swim_of(14.3), swim_of(41.2)});
    std::string const before = text_in(path);
    for (int fatal = 1; fatal <= 3; ++fatal) {
        pid_t const child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            int writes = 0;
            correct_by(
                [&](int file, char const* bytes, std::size_t count) {
                    if (++writes != fatal) return ::write(file, bytes, count);
                    if (::write(file, bytes, count / 2) >= 0) ::kill(::getpid(), SIGKILL);
                    return ssize_t{-1};
                },
                path, 3, {{"time", 14.2_s}});
            ::_exit(0);
        }
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WIFSIGNALED(status) == (fatal < 3));
        if (fatal < 3) CHECK(text_in(path) == before);
        else CHECK(test_in(read_record(path, "Anna")).swims.back().time.value() == 14.2);
    }
    auto const full = [](int file, char const* bytes, std::size_t count) {
        return ::write(file, bytes, count / 2);
    };
    std::string const now = text_in(path);
    CHECK_THROWS_WITH_AS(correct_by(full, path, 3, {{"time", 14.4_s}}), doctest::Contains("room left"),
                         InvalidInput);
    CHECK(text_in(path) == now);
}

TEST_CASE("what cannot be written is said, and a new file is not begun") {
    Folder const folder;
    CHECK_THROWS_WITH_AS(append(folder / "none/squad.csv", "Anna", {swim_of(14.3)}),
                         doctest::Contains("can be written to"), InvalidInput);
    CHECK_THROWS_WITH_AS(append(folder / "", "Anna", {swim_of(14.3)}), doctest::Contains("not of a folder"),
                         InvalidInput);
    CHECK_THROWS_WITH_AS(append("", "Anna", {swim_of(14.3)}), doctest::Contains("got nothing"), InvalidInput);
    CHECK_THROWS_WITH_AS(append("/dev/null", "Anna", {swim_of(14.3)}), doctest::Contains("a device"),
                         InvalidInput);
    std::string const path = folder / "new.csv";
    auto const part = [](int file, char const* bytes, std::size_t count) {
        return ::write(file, bytes, count / 2);
    };
    CHECK_THROWS_WITH_AS(append_by(part, path, "Anna", {swim_of(14.3)}), doctest::Contains("room left"),
                         InvalidInput);
    CHECK_FALSE(fs::exists(path));
    CHECK(std::distance(fs::directory_iterator(fs::path(path).parent_path()), fs::directory_iterator())
          == 1);          // the lock
    write_text(path, ""); // an empty file is a new one
    CHECK(append(path, "Anna", {swim_of(14.3)}).created);
}

TEST_CASE("an end in the middle of any write loses nothing that was promised") {
    Folder const folder;
    std::string const path = folder / "squad.csv";
    std::mt19937 random(1);
    int promised = 0, deaths = 0;
    for (int i = 0; i < 120; ++i) {
        bool const dies = i % 3 == 1;
        std::size_t const part = random();
        pid_t const child = ::fork();
        REQUIRE(child >= 0);
        if (child == 0) {
            WriteBytes write = [&](int file, char const* bytes, std::size_t count) {
                if (!dies) return ::write(file, bytes, count);
                if (::write(file, bytes, part % count) >= 0) ::kill(::getpid(), SIGKILL);
                return ssize_t{-1};
            };
            append_by(write, path, "Anna", {swim_of(14.3, "n" + std::to_string(i))});
            ::_exit(0);
        }
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WIFSIGNALED(status) == dies);
        dies ? ++deaths : ++promised;
    }
    append(path, "Anna", {swim_of(14.3, "last")});
    Record const record = read_record(path, "Anna");
    std::set<std::string> notes;
    for (TimedSwim const& swim : test_in(record).swims) notes.insert(swim.note);
    for (int i = 0; i < 120; i += 1)
        if (i % 3 != 1) CHECK(notes.count("n" + std::to_string(i)) == 1);
    CHECK(promised == 80);
    CHECK(deaths == 40);
}

TEST_CASE("eight writers at once, while an editor saves the file and some writers die") {
    Folder const folder;
    std::string const path = folder / "squad.csv", held = folder / ".~lock.squad.csv#";
    append(path, "Anna", {Remark{{2026, 11, 25}, "first"}});
    constexpr int writers = 8, each = 12;
    std::string const promises = folder / "promises";
    std::vector<pid_t> children;
    for (int w = 0; w < writers; ++w) {
        pid_t const child = ::fork();
        REQUIRE(child >= 0);
        if (child != 0) {
            children.push_back(child);
            continue;
        }
        int const promised = ::open(promises.c_str(), O_WRONLY | O_CREAT | O_APPEND, 0666);
        for (int i = 0; i < each; ++i) {
            std::string const words = "w" + std::to_string(w) + "i" + std::to_string(i);
            bool const dies = (w * each + i) % 10 == 7;
            pid_t const one = ::fork(); // each in a process of its own: it may die
            if (one == 0) {
                WriteBytes const write = [&](int file, char const* bytes, std::size_t count) {
                    if (!dies) return ::write(file, bytes, count);
                    if (::write(file, bytes, count / 2) >= 0) ::kill(::getpid(), SIGKILL);
                    return ssize_t{-1};
                };
                for (int tries = 0; tries < 2000; ++tries) try {
                        append_by(write, path, "Anna", {swim_of(14.3, words)});
                        std::string const line = words + "\n";
                        ::_exit(::write(promised, line.data(), line.size()) > 0 ? 0 : 1);
                    } catch (InvalidInput const& error) {
                        // "at the same moment": the row may be there or not, and is not promised.
                        if (std::string(error.what()).find("spreadsheet") == std::string::npos) ::_exit(9);
                        if (std::string(error.what()).find("same moment") != std::string::npos) ::_exit(3);
                        ::usleep(2000);
                    }
                ::_exit(4);
            }
            int status = 0;
            ::waitpid(one, &status, 0);
            if (WIFEXITED(status) && WEXITSTATUS(status) != 0 && WEXITSTATUS(status) != 3)
                ::_exit(WEXITSTATUS(status));
        }
        ::_exit(0);
    }
    // The editor: says that it holds the file, reads it, writes another and gives that the name.
    for (int saves = 0; saves < 15; ++saves) {
        ::usleep(20000);
        write_text(held, "editor");
        std::string const text = text_in(path);
        ::usleep(5000);
        write_text(path + ".editor", text);
        fs::rename(path + ".editor", path);
        fs::remove(held);
    }
    for (pid_t const child : children) {
        int status = 0;
        REQUIRE(::waitpid(child, &status, 0) == child);
        CHECK(WIFEXITED(status));
        CHECK(WEXITSTATUS(status) == 0);
    }
    append(path, "Anna", {swim_of(14.3, "last")});
    Record const record = read_record(path, "Anna"); // nothing ragged, no number twice
    std::multiset<std::string> notes;
    for (TimedSwim const& swim : test_in(record).swims) notes.insert(swim.note);
    std::ifstream in(promises);
    int promised = 0;
    for (std::string line; std::getline(in, line); ++promised) {
        CAPTURE(line);
        CHECK(notes.count(line) == 1);
    }
    CHECK(promised > writers * each / 2);
}

} // namespace record_test
