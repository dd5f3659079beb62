#pragma once
/// @file
/// Quantities as text that reads back as the same number. Private to the library.

#include <string>
#include <string_view>

#include <libdrag/quantity.hpp>

#include "number_text.hpp"

namespace libdrag {

/// Digits enough to read back as the same double; in the base unit where the usual one rounds.
template <class Q> std::string exact(Q const& quantity, std::string_view usual, std::string_view base) {
    constexpr int fewest = 4, most = 17;
    for (std::string_view const unit : {usual, base})
        for (int digits = fewest; digits <= most; ++digits) {
            std::string text = general(in_unit(quantity, unit), digits) + " " + std::string(unit);
            if (parse<Q>("value", text) == quantity) return text;
        }
    return format(quantity, base, most);
}

} // namespace libdrag
