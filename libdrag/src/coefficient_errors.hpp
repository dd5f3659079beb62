#pragma once
/// How far coefficients may be off, added up: what the evidence leaves open of them goes together, what a user says of
/// one, or a publication of one that nothing weighs, stands by itself. Private to the library.

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include <libdrag/coefficients.hpp>
#include <libdrag/posterior.hpp>
#include <libdrag/swim.hpp>

namespace libdrag {

class CoefficientErrors {
public:
    using Parts = std::vector<std::pair<std::string, double>>;

    explicit CoefficientErrors(Coefficients const& c) : c_(c) {}

    /// So much of a coefficient's error on the scale that the evidence weighs it on.
    CoefficientErrors& add(std::string_view key, double times = 1.0) {
        Posterior const& p = posterior();
        auto const at = std::find(p.keys.begin(), p.keys.end(), key);
        auto const j = static_cast<std::size_t>(at - p.keys.begin());
        if (c_.by_evidence(key)) {
            for (std::size_t i = 0; i <= j; ++i) add_part("evidence." + p.keys[i], times * p.row(j)[i]);
            return *this;
        }
        Scale const scale = at == p.keys.end() ? Scale::plain : p.scales[j];
        return add_own(key, times * c_.sd(key) * scale_slope(scale, c_.value(key)));
    }
    /// An error that is shared with nothing but what goes by this key.
    CoefficientErrors& add_own(std::string_view key, double sd) {
        add_part(std::string(key), sd);
        return *this;
    }
    [[nodiscard]] double sd() const {
        double variance = 0.0;
        for (auto const& part : parts_) variance += part.second * part.second;
        return std::sqrt(variance);
    }
    /// Without what is below a hundredth of the whole: it moves nothing that is printed.
    [[nodiscard]] Parts parts() const {
        Parts out;
        double const least = 0.01 * sd();
        for (auto const& part : parts_)
            if (std::abs(part.second) > least) out.push_back(part);
        return out;
    }

private:
    void add_part(std::string key, double size) {
        for (auto& part : parts_)
            if (part.first == key) {
                part.second += size;
                return;
            }
        parts_.emplace_back(std::move(key), size);
    }
    Coefficients const& c_;
    Parts parts_;
};

// Of figures that several coefficients make. `between`: how much of the spread between swimmers.
/// ln of `active_factor`.
CoefficientErrors active_errors(Stroke stroke, Method method, Velocity v, Coefficients const& c);
/// Of `incline_deg` and `towed_incline_deg`, in degrees.
CoefficientErrors incline_errors(Swim const& swim, double between);
CoefficientErrors towed_incline_errors(Swim const& swim, Velocity v, double between);

} // namespace libdrag
