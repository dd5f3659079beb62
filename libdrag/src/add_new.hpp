#pragma once
/// Lists of sentences that say nothing twice. Private to the library.

#include <algorithm>
#include <string>
#include <vector>

namespace libdrag {

/// Adds those that are not in the list yet.
inline void add_new(std::vector<std::string>& list, std::vector<std::string> const& more) {
    for (std::string const& text : more)
        if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}

} // namespace libdrag
