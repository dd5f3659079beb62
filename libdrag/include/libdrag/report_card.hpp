#pragma once
/// @file
/// A card in words, JSON and CSV: whatever its page says is here in full precision.

#include <string>

#include <libdrag/card.hpp>
#include <libdrag/describe.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

Description describe(Card const& card);
/// Words: the two sentences and where the page went. CSV: the races.
/// @param written the page's file; empty if there is none
std::string card(Card const& card, std::string const& written, Style const& style);

} // namespace libdrag::report
