#pragma once
/// @file
/// The swimmer's card as named fields.

#include <optional>
#include <string>

#include <libdrag/card.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

struct CardQuestion {
    CardRequest card;
    Options options;
};
/// As `cost` without another question; record, name; date (today unless given).
/// @throws InvalidInput for what_if, want and time_without, which a card does not ask
CardQuestion card(Fields const& fields);
CardQuestion card(Fields const& fields, Swim const& swim);

/// out, force: where the card goes, as a page (.html) or as the picture alone (.svg).
struct CardFile {
    std::string path;
    bool page, overwrite;
};
/// @throws InvalidInput for a name that ends otherwise
std::optional<CardFile> card_file(Fields const& fields);
/// Whole or not at all. @throws InvalidInput for a file that exists, unless it may be replaced, or cannot be written
void write(Card const& card, CardFile const& file);

} // namespace libdrag::request
