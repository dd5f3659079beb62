#pragma once
/// @file
/// What is to be written to a record, from named fields.

#include <string>
#include <vector>

#include <libdrag/record.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

struct LogQuestion {
    std::string file, name;
    std::vector<Seen> seen;
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
LogQuestion log(Fields const& fields);

} // namespace libdrag::request
