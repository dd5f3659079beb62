#pragma once
/// @file
/// The swimmer's card: one page to print or to show. Her body level and with the fault, the seconds of her races, what
/// each degree is worth, what her tests say and whether the fault is closing, one sentence for her and one for the
/// coach. Every sentence and every number follows from the answers that the card holds.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/cost.hpp>
#include <libdrag/drawing.hpp>
#include <libdrag/measured.hpp>
#include <libdrag/measurement.hpp>
#include <libdrag/progress.hpp>

namespace libdrag {

struct CardRequest {
    /// Of one swimmer, each with her fault; the first whose time was not guessed is the one drawn and spoken of. At most
    /// `most_races_on_a_card`.
    std::vector<CostRequest> races;
    std::optional<Measured> measured{};        ///< what her tests say, where there is a record
    std::optional<ProgressRequest> progress{}; ///< her sessions, where there are two days or more
    Date date{};                               ///< of the card
};
/// More do not fit on a page.
inline constexpr std::size_t most_races_on_a_card = 12;

struct Card {
    CardRequest request;
    Options options;
    std::vector<Cost> costs; ///< of the races, in order
    std::size_t drawn;       ///< which of them is drawn and spoken of
    drawing::Scene scene;    ///< its fault at the deepest
    drawing::Fronts fronts;  ///< of the scene
    std::optional<Progress> progress;
    std::string for_athlete, for_coach; ///< a sentence each
    std::vector<std::string> notes, cautions;
    std::vector<std::string_view> sources; ///< publications behind the main numbers

    [[nodiscard]] Cost const& main() const { return costs[drawn]; }
};
/// @param options with those of her tests where there are some
/// @throws InvalidInput for no race, too many of them, and as `costs` and `progress`
Card card(CardRequest const& request, Options const& options = {});

/// One HTML page, all of it in one text: no script, no reference to anything outside; prints on one sheet of A4 or
/// Letter, reads on a phone, by daylight and in the dark.
std::string page_of(Card const& card);
/// The picture alone, an SVG.
std::string picture_of(Card const& card);

} // namespace libdrag
