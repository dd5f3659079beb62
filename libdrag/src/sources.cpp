#include <libdrag/sources.hpp>

#include <libdrag/quantity.hpp>

namespace libdrag {

std::string_view to_string(Verified how) {
    switch (how) {
    case Verified::read: return "read";
    case Verified::memory: return "from memory";
    case Verified::computed: return "computed";
    case Verified::derived: return "derived from figures read";
    case Verified::definition: return "by definition";
    case Verified::common_practice: return "common practice";
    case Verified::assumption: return "assumption";
    }
    return "";
}

void detail::refuse_source(std::string_view key) {
    std::vector<std::string_view> keys;
    for (auto const& row : sources) keys.push_back(row.key);
    throw UnknownKey("source", printable(key), nearest(key, keys));
}

} // namespace libdrag
