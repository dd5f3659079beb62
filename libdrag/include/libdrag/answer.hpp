#pragma once
/// @file
/// A question from its named fields to its text: what every face of texts asks. The fields say what is asked and of
/// whom (`request.hpp`), the text is words, JSON or CSV (`report.hpp`).

#include <string>
#include <string_view>
#include <vector>

#include <libdrag/report.hpp>
#include <libdrag/request.hpp>

namespace libdrag {

/// "aids", "angle" ... "trials".
std::vector<std::string_view> const& questions();

/// @param question one of `questions()`
/// @throws UnknownKey for another, InvalidInput and UnknownKey as the question does
std::string answer(std::string_view question, request::Fields const& fields, report::Style const& style);

/// The same for a face that has one JSON object, `{"ask": "cost", "event": "100 free", "time": "1:02.40", "hip_drop":
/// "4deg"}`: the answer as JSON. A field that may be repeated is a list, a flag true or false, a number what its
/// text would be; null is a field that was not given. Nothing is thrown: what is wrong comes back as
///
///     { "error": { "field": "hip_drop", "value": "95 deg", "allowed": "0 deg to 45 deg", "message": "..." } }
std::string answer(std::string_view json);

} // namespace libdrag
