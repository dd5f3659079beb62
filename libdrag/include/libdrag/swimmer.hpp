#pragma once
/// @file
/// The swimmer in a file: JSON with units in its strings, read and written by the library so that every
/// face can.
///
///     {
///       "name": "Demo",
///       "sex": "f",
///       "stature": "172cm",
///       "mass": "63kg",
///       "dimensions": { "chest_girth": "90cm", "hip_breadth": "34cm" },
///       "incline": "9deg",
///       "k": "28kg/m",
///       "record": "squad.csv"
///     }
///
/// Only stature and mass are required. `incline` is the swimmer's own trunk incline at race speed without
/// the fault, `k` her own active drag over speed squared, `record` the file that her tests are in, seen from
/// the folder of this one: the questions that a record narrows read it.

#include <optional>
#include <string>
#include <string_view>

#include <libdrag/body.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

struct Swimmer {
    std::string name{};
    Sex sex = Sex::average;
    std::optional<Length> stature{};
    std::optional<Mass> mass{};
    std::map<std::string, Length, std::less<>> dimensions{};
    std::optional<Angle> incline{};
    std::optional<SpeedSpecificDrag> k{};
    std::string record{}; ///< where her tests are; as a file has it, seen from that file

    /// @throws InvalidInput when stature or mass are missing or absurd, UnknownKey
    [[nodiscard]] Body body() const;
};

std::string_view to_string(Sex sex); ///< f, m, average
/// f, female, woman, m, male, man, average. @throws UnknownKey
Sex parse_sex(std::string_view text);

/// Reads the JSON text. @throws InvalidInput with line and column for a syntax error, naming the key for a
/// wrong value or an unknown key.
/// @param origin the file's name, for messages
Swimmer parse_swimmer(std::string_view origin, std::string_view json);
/// Her record is seen from here. @throws InvalidInput also for a file that is missing, empty, not text or larger than 1 MB.
Swimmer read_swimmer(std::string const& path);

std::string to_json(Swimmer const& swimmer);
/// Written beside the target and renamed, so that an existing file is never left half written; her record seen from it.
/// @throws InvalidInput if it cannot be written, or exists and `overwrite` is false.
void write_swimmer(Swimmer const& swimmer, std::string const& path, bool overwrite);

} // namespace libdrag
