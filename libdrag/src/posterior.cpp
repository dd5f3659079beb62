#include <libdrag/posterior.hpp>

#include <algorithm>

#include "maths.hpp"
#include "number_text.hpp"
#include "tables.hpp"

namespace libdrag {

double to_scale(Scale scale, double x) {
    switch (scale) {
    case Scale::log: return maths::log(x);
    case Scale::log_odds: return maths::log(x / (1.0 - x));
    default: return x;
    }
}

double from_scale(Scale scale, double y) {
    switch (scale) {
    case Scale::log: return maths::exp(y);
    case Scale::log_odds: return 1.0 / (1.0 + maths::exp(-y));
    default: return y;
    }
}

double scale_slope(Scale scale, double x) {
    switch (scale) {
    case Scale::log: return 1.0 / x;
    case Scale::log_odds: return 1.0 / (x * (1.0 - x));
    default: return 1.0;
    }
}

std::size_t Posterior::index(std::string_view key) const {
    auto const at = std::find(keys.begin(), keys.end(), key);
    if (at == keys.end()) throw UnknownKey("coefficient weighed by the evidence", key, "");
    return static_cast<std::size_t>(at - keys.begin());
}

double Posterior::study_spread(std::string_view group) const {
    for (auto const& spread : study_spreads)
        if (spread.first == group) return spread.second;
    throw UnknownKey("group of quantities", group, "");
}

double Posterior::sd(std::size_t j) const {
    double variance = 0.0;
    for (std::size_t i = 0; i <= j; ++i) variance += row(j)[i] * row(j)[i];
    return std::sqrt(variance);
}

double Posterior::value(std::size_t j, double const* z) const {
    double y = means[j];
    for (std::size_t i = 0; i <= j; ++i) y += row(j)[i] * z[i];
    return from_scale(scales[j], y);
}

namespace {

Posterior embedded() {
    Posterior out{{}, {}, {}, {}, {}, {}};
    std::size_t law = 0;
    for (tables::PosteriorRow const& row : tables::posterior) {
        if (row.part == "law") {
            out.law_weights[law++] = row.value;
        } else if (row.part == "spread") {
            out.study_spreads.emplace_back(row.key, row.value);
        } else {
            out.keys.emplace_back(row.key);
            out.scales.push_back(row.part == "log"        ? Scale::log
                                 : row.part == "log_odds" ? Scale::log_odds
                                                          : Scale::plain);
            out.means.push_back(row.value);
            char const *at = row.factor.data(), *const end = at + row.factor.size();
            while (at != end) {
                double x = 0.0;
                at = read_number(at, end, x).ptr;
                out.factor.push_back(x);
                if (at != end) ++at;
            }
        }
    }
    return out;
}

} // namespace

Posterior const& posterior() {
    static Posterior const table = embedded();
    return table;
}

} // namespace libdrag
