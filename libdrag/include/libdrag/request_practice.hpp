#pragma once
/// @file
/// Questions for a session as named fields.

#include <libdrag/practice.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

/// event, time, minutes; pool (else the course's), work (else easy), what `worn` reads for the aids at hand, age, record
/// and name; of the race and the swimmer what `cost` reads, a hip drop only if known. Of html, json and csv at
/// most one.
PracticeRequest practice(Fields const& fields);

} // namespace libdrag::request
