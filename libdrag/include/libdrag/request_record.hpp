#pragma once
/// @file
/// What is to be written to a record, from named fields.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/record.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

struct LogQuestion {
    std::string file, name;
    std::vector<Seen> seen;
    /// Or a row to correct, and what it should say.
    std::optional<std::size_t> row{};
    Corrections corrections{};
};
/// file, name, kind, date (else today's, where the computer is), note, and by kind
///  - swim: stroke, how, set, order, distance, surface, time, by, strokes, left_out, turn; several times are as many
///    swims, with one how or stroke count for all or one for each
///  - drop: stroke, how, drop, drop_sd, side, breaths
///  - frames: stroke, how, side, film
///  - glide: set, points (0.5s:1.1m), drop, depth
///  - loaded: stroke, set, distance, time, by, load or tow
///  - race: event, course, time
///  - remark
/// With edit, the number of a row: what is given takes the place of what the row says, the rest stays. A row takes what
/// its kind takes, one value each: of a glide one point (or its distance or time), of a loaded swim also how, of which
/// load or tow changes only the load; a race's event or course alone leaves the other as it is.
LogQuestion log(Fields const& fields);

} // namespace libdrag::request
