#pragma once
/// @file
/// The swimmer's card as named fields.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/card.hpp>
#include <libdrag/request_squad.hpp>

namespace libdrag::request {

struct CardQuestion {
    CardRequest card;
    Options options;
};
/// As `cost` without another question; record, name; date (today unless given).
/// @throws InvalidInput for what_if, want and time_without, which a card does not ask
CardQuestion card(Fields const& fields);

/// out, force: where the card goes, as a page (.html) or as the picture alone (.svg).
struct CardFile {
    std::string path;
    bool page, overwrite;
};
/// @throws InvalidInput for a name that ends otherwise
std::optional<CardFile> card_file(Fields const& fields);
/// Whole or not at all. @throws InvalidInput for a file that exists, unless it may be replaced, or cannot be written
void write(Card const& card, CardFile const& file);
/// The same of a text that is one already.
void write(std::string const& text, CardFile const& file);

// Of a squad: one page a row, in one folder, and a page with links to them.

/// out: the folder, made if there is none. @throws InvalidInput for a file
std::string card_folder(Fields const& fields);
/// "2-anna.html": by row and swimmer.
std::string card_name(SquadRow const& row);
struct CardLink {
    std::string file, name, event, sentence;
};
/// index.html. @throws InvalidInput as `write`
void write_index(std::string const& folder, std::vector<CardLink> const& cards, bool overwrite);

} // namespace libdrag::request
