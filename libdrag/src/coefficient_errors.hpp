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
            for (std::size_t i = 0; i <= j; ++i) add_part(static_cast<int>(i), {}, times * p.row(j)[i]);
            return *this;
        }
        Scale const scale = at == p.keys.end() ? Scale::plain : p.scales[j];
        return add_own(key, times * c_.sd(key) * scale_slope(scale, c_.value(key)));
    }
    /// An error that is shared with nothing but what goes by this key.
    CoefficientErrors& add_own(std::string_view key, double sd) {
        add_part(not_common, key, sd);
        return *this;
    }
    [[nodiscard]] double sd() const {
        double variance = 0.0;
        for (Part const& part : parts_) variance += part.size * part.size;
        return std::sqrt(variance);
    }
    /// Without what is below a hundredth of the whole: it moves nothing that is printed.
    [[nodiscard]] Parts parts() const {
        std::vector<std::string> const& keys = posterior().keys;
        Parts out;
        double const least = 0.01 * sd();
        for (Part const& part : parts_)
            if (std::abs(part.size) > least)
                out.emplace_back(part.common == not_common
                                     ? part.own
                                     : "evidence." + keys[static_cast<std::size_t>(part.common)],
                                 part.size);
        return out;
    }

private:
    static constexpr int not_common = -1;
    struct Part {
        int common; ///< which of what is known of coefficients (posterior.hpp)
        std::string own;
        double size;
    };
    void add_part(int common, std::string_view own, double size) {
        for (Part& part : parts_)
            if (part.common == common && part.own == own) {
                part.size += size;
                return;
            }
        parts_.push_back({common, std::string(own), size});
    }
    Coefficients const& c_;
    std::vector<Part> parts_;
};

// Of figures that several coefficients make. `between`: how much of the spread between swimmers.
/// ln of `active_factor`.
CoefficientErrors active_errors(Stroke stroke, Method method, Velocity v, Coefficients const& c);
/// Of `incline_deg` and `towed_incline_deg`, in degrees.
CoefficientErrors incline_errors(Swim const& swim, double between);
CoefficientErrors towed_incline_errors(Swim const& swim, Velocity v, double between);

} // namespace libdrag
