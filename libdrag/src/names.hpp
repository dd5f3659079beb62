#pragma once
/// Words for enumerators, and back: one table per enumeration, first name is the one that is printed.

#include <array>
#include <string_view>
#include <vector>

#include <libdrag/error.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {

template <class E> struct Named {
    std::string_view name;
    E value;
};

template <class E, std::size_t N>
constexpr std::string_view name_of(std::array<Named<E>, N> const& table, E value) {
    for (auto const& row : table)
        if (row.value == value) return row.name;
    return {};
}

/// Case does not count. @throws UnknownKey naming the nearest words, or all of them if none is near.
template <class E, std::size_t N>
E parse_name(std::string_view kind, std::array<Named<E>, N> const& table, std::string_view text) {
    std::vector<std::string_view> words;
    std::string all, typed(text);
    for (char& c : typed) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    for (auto const& row : table) {
        if (row.name == typed) return row.value;
        words.push_back(row.name);
        all += (all.empty() ? "" : ", ") + std::string(row.name);
    }
    std::string const near = nearest(text, words);
    throw UnknownKey(kind, printable(text), near.empty() ? "one of " + all : near);
}

} // namespace libdrag
