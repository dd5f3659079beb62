#pragma once
/// @file
/// The record: one CSV that a coach opens in a spreadsheet, many swimmers, one row per thing seen. It is read into
/// measurements and appended to; a row is corrected in a new file, and the old one is kept.
///
///     date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,drop (deg),drop sd (deg),side,breaths,depth (m),note
///
///  - swim: `how`, `distance`, `time`; rows of one date, set and stroke make one pool test. `order` is the order swum over
///    all conditions, else that of the rows. "left out" in the note keeps a swim in the file and out of the answer, "turn"
///    says that one lies in the timed part (as beyond 50 m it must).
///  - drop: `drop`, perhaps its `drop sd`; `side` says how it was seen, `breaths` how many it is the mean of.
///  - frames: a film's points, in the file that the note names.
///  - glide: one row a point, `time` and `distance`; `drop` is how much lower the hips were held, `depth` how deep she was.
///  - loaded: as swim; "tether 20N" or, where she is pulled along, "tow 20N" in `how`, neither in the free swims of the set.
///  - race: the event in `how`, as "100 free; scm".
///  - remark: the note.
/// Other kinds and columns stay in the file and are not read.

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include <libdrag/measurement.hpp>
#include <libdrag/sheet.hpp>

namespace libdrag {

/// A film whose points lie in a file of their own, to be read by `read_film`.
struct FilmFile {
    Date date;
    Stroke stroke = Stroke::crawl;
    Condition how{};
    SeenFrom side = SeenFrom::toward;
    std::string path{}; ///< as the record has it, relative to the record's folder
    std::size_t line = 0;
};
struct Remark {
    Date date;
    std::string text{};
    std::size_t line = 0;
};

/// What the record says about one swimmer; a line's number is the row's in a spreadsheet.
struct Record {
    std::string swimmer{};                   ///< as the file spells it
    std::vector<Measurement> measurements{}; ///< by date, those of a day as in the file
    std::vector<FilmFile> films{};
    std::vector<Remark> remarks{};
    std::vector<std::string> notes{}; ///< what was not read, and what a spreadsheet may have spoilt
};

/// What stands for a column that a file does not have or a cell that is empty: a file of one pool test needs no more
/// columns than `how` and `time`.
struct RecordDefaults {
    std::optional<Date> date{};
    std::optional<Stroke> stroke{};
    std::optional<Length> distance{};
    std::optional<TimedBy> by{};
};

/// In the order of the file, each once.
std::vector<std::string> swimmers_in(Sheet const& sheet);
/// @param swimmer case does not count; may be empty where the file is about one. Rows about others are not looked at.
/// @throws UnknownKey naming the nearest swimmers, InvalidInput with row and column
Record record_of(Sheet const& sheet, std::string_view swimmer, RecordDefaults const& defaults = {});
Record read_record(std::string const& path, std::string_view swimmer, RecordDefaults const& defaults = {});

/// What may be written to a record.
using Seen = std::variant<PoolTest, SeenDrop, Glide, LoadedSwims, RaceResult, FilmFile, Remark>;

struct Appended {
    std::string swimmer{};
    bool created = false; ///< the file is new
    std::string kept{};   ///< the file as it was, where a row was corrected
    Sheet rows{};         ///< the new ones, as the file has them
    std::vector<std::string> notes{}, cautions{};
};
/// Writes rows behind those that are there, in the file's own columns, units and marks; a new file gets all columns.
/// Safe among others who append, and against an end at any moment: what was reported as written is there as a whole,
/// what was cut off is moved to `PATH.cut-off` by the next who writes (the file as it was to `PATH.before-repair`).
/// A swim of order 0 gets the next number of its set.
/// @throws InvalidInput, with nothing written: what the reader would refuse, a file that a spreadsheet holds open, that
/// lacks a column, or cannot be written
Appended append(std::string const& path, std::string const& swimmer, std::vector<Seen> const& seen);

/// What a cell of a row should say; empty in a text: nothing.
struct Correction {
    std::string column; ///< by its name, without the unit: "time"
    std::variant<std::string, Length, Time, Angle> value;
    bool behind = false; ///< of a text: after what is there, not in its place
    bool needed = true;  ///< or left where the file has no such column
};
/// What a row should say, by what it says.
using Corrections = std::function<std::vector<Correction>(SheetRow const& row)>;
/// Corrects one row. The new file takes the place of the old at once, and the old is kept as PATH.1, or .2 and so on
/// where that is taken. What is not corrected stays to the letter, and so do all other rows.
/// @param row as a spreadsheet counts them, the header is 1
/// @throws InvalidInput, with nothing changed: a row that is not there, a column that the file lacks, what the reader
/// would refuse, and whatever `append` cannot write to
Appended correct(std::string const& path, std::size_t row, std::vector<Correction> const& corrections);
Appended correct(std::string const& path, std::size_t row, Corrections const& corrections);

/// A loaded swim as a row has it in `how`: "every-2; tether 20 N", with a load below zero "every-2; tow 20 N". Of what
/// `how` says all but a load stays.
Condition against(Force load, Condition how);
/// A race as a row has it in `how`: "100 freestyle; scm".
std::string words_of(Event const& event);
/// Of such words; without a course in long course. What is given stands in place of its part, which is not read.
/// @throws InvalidInput, UnknownKey
Event race_in(std::string_view how, std::optional<std::string> const& event = {},
              std::optional<std::string> const& course = {});

/// Her pool tests in one stroke.
std::vector<PoolTest> pool_tests(Record const& record, Stroke stroke);

} // namespace libdrag
