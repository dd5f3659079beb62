#pragma once
/// How a description places its fields. Private to the library.

#include <string>
#include <string_view>
#include <utility>

#include <libdrag/describe.hpp>

namespace libdrag::report {

inline std::string text(std::string_view words) { return std::string(words); }

inline Field in(Faces faces, Field f) {
    f.faces = faces;
    return f;
}
inline Field in_words(std::string words, Field f) {
    f.words = std::move(words);
    return f;
}

} // namespace libdrag::report
