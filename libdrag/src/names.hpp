#pragma once
/// Words for enumerators, and back: one table per enumeration, first name is the one that is printed.

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/error.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {

/// Of plain letters.
inline std::string lower_case(std::string_view text) {
    std::string out(text);
    for (char& c : out) c = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    return out;
}

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
    std::string const typed = lower_case(text);
    std::string all;
    for (auto const& row : table) {
        if (row.name == typed) return row.value;
        words.push_back(row.name);
        all += (all.empty() ? "" : ", ") + std::string(row.name);
    }
    std::string const near = nearest(text, words);
    throw UnknownKey(kind, printable(text), near.empty() ? "one of " + all : near);
}

} // namespace libdrag
