#include <libdrag/card.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include <libdrag/report_drawing.hpp>
#include <libdrag/sources.hpp>

#include "add_new.hpp"
#include "cost_words.hpp"
#include "report_text.hpp"

namespace libdrag {
namespace {

using report::drop_given;
using report::in_seconds;
using report::never_low;

/// The fault as something to do.
std::string cue(Cost const& c) {
    std::string const what = !c.head_priced ? "Hips up" : drop_given(c) ? "Head low and hips up" : "Head low";
    return what + (c.when == When::always ? " all the way" : " when you breathe");
}
std::string athlete_words(Cost const& c) {
    if (never_low(c)) return "Nothing lifts your head in this race, so there is nothing to gain from it.";
    return fmt::format(
        "{}: over your {} that {} about {} seconds ({} to {}).", cue(c), to_string(c.request.event),
        c.request.time_includes_fault ? "could be worth" : "keeps you from losing",
        in_seconds(c.cost.median.value()), in_seconds(c.cost.low.value()), in_seconds(c.cost.high.value()));
}
std::string coach_words(Cost const& c) {
    std::string words = fmt::format("{}: {}", report::race_words(c.request), report::fault_line(c));
    if (never_low(c)) return words + ".";
    words += fmt::format(". That costs about {} s ({} range {} s)", in_seconds(c.cost.median.value()),
                         report::level(c.cost), report::range_words(c.cost));
    constexpr double least = 0.01;
    if (!c.because.ranked.empty() && c.because.ranked.front().share >= least)
        words += fmt::format(", unsure above all by {}, {} of the doubt", c.because.ranked.front().input,
                             report::percent(c.because.ranked.front().share));
    return words + ".";
}

/// Rows of the table that most of a price hangs on.
std::vector<std::string_view> main_sources(Cost const& c) {
    std::vector<std::string_view> keys{"tilt.slope", "tilt.damped.exponent", "tilt.crossflow.cd",
                                       "race.drag_exponent", "race.turn_underwater"};
    std::vector<std::string_view> out;
    auto const add = [&](std::string_view reference) {
        for (Reference const& r : references)
            if (r.key == reference && std::find(out.begin(), out.end(), r.text) == out.end())
                out.push_back(r.text);
    };
    std::vector<std::string> const replaced = c.request.swim.coefficients.replaced();
    for (std::string_view const key : keys)
        if (std::find(replaced.begin(), replaced.end(), key) == replaced.end()) add(source(key).reference);
    add("ansur2");
    return out;
}

} // namespace

Card card(CardRequest const& request, Options const& given) {
    if (request.races.empty()) throw InvalidInput("event", "none", "at least one race");
    if (request.races.size() > most_races_on_a_card)
        throw InvalidInput("event", std::to_string(request.races.size()) + " events",
                           "at most " + std::to_string(most_races_on_a_card) + " on one card");
    Options const options = request.measured ? request.measured->options.watched_as(given) : given;
    std::vector<CostRequest> races = request.races;
    std::size_t drawn = 0;
    while (drawn + 1 < races.size() && races[drawn].time_guessed) ++drawn;
    for (std::size_t i = 0; i < races.size(); ++i) races[i].doubts = i == drawn;
    std::vector<Cost> results = costs(races, options);
    Cost const& first = results[drawn];

    drawing::Scene const scene = report::scene_of(first);

    Card out{request,
             options.kept(),
             {},
             drawn,
             scene,
             drawing::fronts(scene, options),
             std::nullopt,
             athlete_words(first),
             coach_words(first),
             first.notes,
             {},
             main_sources(first)};
    for (Cost const& c : results) add_new(out.cautions, c.cautions);
    out.costs = std::move(results);
    if (request.progress) {
        out.progress = progress(*request.progress, options);
        add_new(out.notes, out.progress->notes);
        add_new(out.cautions, out.progress->cautions);
    }
    if (request.measured) {
        add_new(out.notes, request.measured->notes);
        add_new(out.cautions, request.measured->cautions);
    }
    return out;
}

std::string picture_of(Card const& card) { return drawing::level_and_low(card.scene, card.fronts); }

} // namespace libdrag
