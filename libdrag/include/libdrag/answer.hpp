#pragma once
/// @file
/// A question from its named fields to its answer: what every face asks. The fields say what is asked and of whom
/// (`request.hpp`), the text is words, JSON or CSV (`report.hpp`).

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <libdrag/chart.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/report.hpp>
#include <libdrag/request.hpp>
#include <libdrag/request_squad.hpp>

namespace libdrag {

/// "aids", "angle" ... "trials".
std::vector<std::string_view> const& questions();

/// What a question found, and how it is told: as text, as named fields, in pictures.
struct Found {
    using Picture = std::function<std::string()>; ///< drawn when it is called
    std::function<std::string(report::Style const&)> text;
    std::function<report::Description()> fields{};
    std::function<Chart()> chart{}; ///< if it has one
    std::vector<std::pair<std::string_view, Picture>>
        pictures{}; ///< of a cost "side", "front" and "both", of a card "page" and "body"
    std::vector<std::pair<std::string_view, Found>> parts{}; ///< fields that are answers of their own
};
/// A file that the fields name (`save`, `out`, the record of `log`) is written.
/// @param question one of `questions()`
/// @throws UnknownKey for another, InvalidInput and UnknownKey as the question does
Found ask(std::string_view question, request::Fields const& fields);

struct Answer {
    std::string text;
    std::vector<std::string> refused{}; ///< rows of a squad that have no answer, a line each
};
/// How much of a long question is done, 0 to 1; called by the thread that asks.
using Done = std::function<void(double)>;

/// Where the field `plot` names a file, the picture of the answer is written there, before the text is given.
/// With the field `squad` (`request_squad.hpp`), `cost`, `compare` and `card` answer for each row of a table.
/// @param question one of `questions()`
/// @throws UnknownKey for another, InvalidInput and UnknownKey as the question does
Answer answer(std::string_view question, request::Fields const& fields, report::Style const& style,
              Done const& done = {});

/// For each row of a table that a face holds. @param fields what the rows do not say
Answer answer(std::string_view question, request::Squad const& squad, request::Fields const& fields,
              report::Style const& style, Done const& done = {});

/// The picture of an answer, an SVG. @throws InvalidInput also for a question whose answer has none
std::string picture(std::string_view question, request::Fields const& fields);

/// The same for a face that has one JSON object, `{"ask": "cost", "event": "100 free", "time": "1:02.40", "hip_drop":
/// "4deg"}`: the answer as JSON. A field that may be repeated is a list, a flag true or false, a number what its
/// text would be; null is a field that was not given. Nothing is thrown: what is wrong comes back as
///
///     { "error": { "field": "hip_drop", "value": "95 deg", "allowed": "0 deg to 45 deg", "message": "..." } }
std::string answer(std::string_view json);

} // namespace libdrag
