#include <libdrag/sources.hpp>

#include <cmath>

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

Source const& find_source(std::string_view key) {
    if (std::size_t const row = detail::row_of(key); row < sources.size()) return sources[row];
    std::vector<std::string_view> keys;
    for (auto const& row : sources) keys.push_back(row.key);
    throw UnknownKey("source", printable(key), nearest(key, keys));
}

void Coefficients::replace(std::string_view key, double value, double sd) {
    Source const& row = find_source(key);
    if (!std::isfinite(value)) throw InvalidInput(key, format_number(value, 6), "a finite number");
    if (!(std::isfinite(sd) && sd >= 0.0))
        throw InvalidInput(std::string(key) + " sd", format_number(sd, 6), "0 or more");
    replaced_[std::string(row.key)] = {value, sd};
}

double Coefficients::value(std::string_view key) const {
    auto const found = replaced_.find(key);
    return found != replaced_.end() ? found->second.value : find_source(key).value;
}

double Coefficients::sd(std::string_view key) const {
    auto const found = replaced_.find(key);
    return found != replaced_.end() ? found->second.sd : find_source(key).sd;
}

std::vector<std::string> Coefficients::replaced() const {
    std::vector<std::string> keys;
    for (auto const& [key, row] : replaced_) keys.push_back(key);
    return keys;
}

} // namespace libdrag
