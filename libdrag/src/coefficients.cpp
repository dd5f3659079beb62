#include <libdrag/coefficients.hpp>

#include <algorithm>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include <libdrag/posterior.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {
namespace {

std::string in_unit_of(Source const& row, double value) {
    std::string const number = fmt::format("{:.6g}", value + 0.0);
    return row.unit == "1" ? number : number + " " + std::string(row.unit);
}

double in_row(Source const& row, std::string const& field, std::string_view text) {
    double const value = parse<double>(field, text);
    if (text.find('%') == std::string_view::npos || row.unit == "1") return value;
    if (row.unit == "%") return 100.0 * value;
    throw InvalidInput(field, printable(text), "a number in " + std::string(row.unit) + ", without its unit");
}

/// Middle of what the evidence leaves of a row, if it weighs it.
std::optional<double> weighed(std::string_view key) {
    Posterior const& p = posterior();
    constexpr std::array<std::string_view, tilt_laws> weights{"tilt.weight.projected", "tilt.weight.damped",
                                                              "tilt.weight.slope", "tilt.weight.crossflow"};
    for (std::size_t k = 0; k < tilt_laws; ++k)
        if (key == weights[k]) return p.law_weights[k];
    auto const at = std::find(p.keys.begin(), p.keys.end(), key);
    if (at == p.keys.end()) return std::nullopt;
    auto const j = static_cast<std::size_t>(at - p.keys.begin());
    return from_scale(p.scales[j], p.means[j]);
}

/// What is known of a replaceable row, looked up once.
struct Known {
    double published;
    std::optional<double> weighed;
    double sd;
};
Known const& known(Replaceable const* row) {
    static std::vector<Known> const all = [] {
        std::vector<Known> out;
        for (Replaceable const& r : replaceable) {
            Source const& published = source(r.key);
            out.push_back({published.value, weighed(r.key), published.sd});
        }
        return out;
    }();
    return all[static_cast<std::size_t>(row - replaceable.begin())];
}

} // namespace

Replaceable const* find_replaceable(std::string_view key) {
    auto const* const at =
        std::lower_bound(replaceable.begin(), replaceable.end(), key,
                         [](Replaceable const& row, std::string_view name) { return row.key < name; });
    return at != replaceable.end() && at->key == key ? at : nullptr;
}

void Coefficients::replace(std::string_view key, double value, double sd) {
    Source const& row = source(key);
    Replaceable const* const range = find_replaceable(key);
    if (range == nullptr)
        throw InvalidInput(key, in_unit_of(row, value),
                           "only the published " + in_unit_of(row, row.value)
                               + ", which is compiled in: replacing it would change nothing");
    if (!(value >= range->low && value <= range->high))
        throw InvalidInput(key, in_unit_of(row, value),
                           in_unit_of(row, range->low) + " to " + in_unit_of(row, range->high));
    if (!(sd >= 0.0 && sd <= range->high - range->low))
        throw InvalidInput(std::string(key) + " sd", in_unit_of(row, sd),
                           "0 to " + in_unit_of(row, range->high - range->low)
                               + ", the width of what the value may be");
    auto rows = empty() ? std::make_shared<Rows>() : std::make_shared<Rows>(*replaced_);
    (*rows)[std::string(row.key)] = {value, sd};
    replaced_ = std::move(rows);
}

void Coefficients::replace(std::string_view key, double value) { replace(key, value, source(key).sd); }

void Coefficients::replace(std::string_view key, std::string_view text) {
    Source const& row = source(key);
    std::string const field(row.key);
    std::size_t const plus_minus = text.find("+-");
    double const value = in_row(row, field, text.substr(0, plus_minus));
    if (plus_minus == std::string_view::npos) replace(key, value);
    else replace(key, value, in_row(row, field + " sd", text.substr(plus_minus + 2)));
}

Coefficients::Row const* Coefficients::find(std::string_view key) const {
    if (empty()) return nullptr;
    auto const found = replaced_->find(key);
    return found != replaced_->end() ? &found->second : nullptr;
}

Coefficients::Row Coefficients::row(std::string_view key) const {
    if (Row const* const row = find(key)) return *row;
    Replaceable const* const at = find_replaceable(key);
    if (at == nullptr) throw UnknownKey("replaceable coefficient", key, "");
    Known const& row = known(at);
    return {as_published_ ? row.published : row.weighed.value_or(row.published), row.sd};
}

bool Coefficients::by_evidence(std::string_view key) const {
    if (as_published_ || find(key) != nullptr) return false;
    Replaceable const* const at = find_replaceable(key);
    return at != nullptr && known(at).weighed;
}

double Coefficients::sd_by_evidence(std::string_view key) const {
    Posterior const& p = posterior();
    auto const at = std::find(p.keys.begin(), p.keys.end(), key);
    if (!by_evidence(key) || at == p.keys.end()) return sd(key);
    auto const j = static_cast<std::size_t>(at - p.keys.begin());
    return p.sd(j) / scale_slope(p.scales[j], value(key));
}

Coefficients Coefficients::as_published() const {
    Coefficients out = *this;
    out.as_published_ = true;
    return out;
}

double Coefficients::value(std::string_view key) const { return row(key).value; }
double Coefficients::sd(std::string_view key) const { return row(key).sd; }
double Coefficients::relative_sd(std::string_view key) const { return sd(key) / as_published().value(key); }

std::vector<std::string> Coefficients::replaced() const {
    std::vector<std::string> keys;
    if (!empty())
        for (auto const& [key, row] : *replaced_) keys.push_back(key);
    return keys;
}

} // namespace libdrag
