#include <libdrag/hydrostatics.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/roots.hpp>

#include "maths.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

/// Integrals over the part xi < d of the unit disc.
struct DiscPart {
    double area, xi, xi2, eta2;
};
DiscPart disc_part(double d) {
    if (d >= 1.0) return {pi, 0.0, 0.25 * pi, 0.25 * pi};
    if (d <= -1.0) return {0.0, 0.0, 0.0, 0.0};
    double const e = std::sqrt((1.0 - d) * (1.0 + d)), angle = 0.5 * pi + maths::asin(d);
    double const wave = d * e * (1.0 - 2.0 * d * d);
    return {angle + d * e, -2.0 / 3.0 * e * e * e, 0.25 * (angle - wave),
            0.25 * angle + d * e / 3.0 + wave / 12.0};
}

/// Keeps a section that lies flat in the water plane from being cut along a whole area at once, m.
constexpr double flat_section = 1e-7;

class Cut {
public:
    Cut(Frustum const& f, double plane) : f_(f), plane_(plane) {
        axis_ = f.front.centre - f.rear.centre;
        du_ = f.front.lateral - f.rear.lateral;
        dv_ = f.front.sagittal - f.rear.sagittal;
        Section const middle = between(f, 0.5);
        sign_ = dot(cross(middle.lateral, middle.sagittal), axis_) < 0.0 ? -1.0 : 1.0;
    }

    void add_to(Immersed& sum) const {
        std::array<double, 4> ends{0.0, 1.0, 1.0, 1.0};
        std::size_t const n = breaks(ends);
        for (std::size_t i = 0; i + 1 < n; ++i) {
            double const a = ends[i], b = ends[i + 1];
            double const d = depth_at(0.5 * (a + b));
            if (d <= -1.0) continue;
            if (d >= 1.0) whole(sum, a, b);
            else partial(sum, a, b);
        }
    }

private:
    [[nodiscard]] double height_reach(Section const& s) const {
        return std::sqrt(square(s.lateral.z) + square(s.sagittal.z) + square(flat_section));
    }
    [[nodiscard]] double depth_at(double s) const {
        Section const section = between(f_, s);
        return (plane_ - section.centre.z) / height_reach(section);
    }

    /// Ends of the stretches that are dry, cut or under water: where the plane touches a section's rim.
    std::size_t breaks(std::array<double, 4>& ends) const {
        double const a0 = plane_ - f_.rear.centre.z, c1 = axis_.z;
        double const u0 = f_.rear.lateral.z, u1 = du_.z, v0 = f_.rear.sagittal.z, v1 = dv_.z;
        auto const [low, high] = boost::math::tools::quadratic_roots(
            c1 * c1 - u1 * u1 - v1 * v1, -2.0 * (a0 * c1 + u0 * u1 + v0 * v1),
            a0 * a0 - u0 * u0 - v0 * v0 - flat_section * flat_section);
        std::size_t n = 1;
        for (double s : {std::min(low, high), std::max(low, high)})
            if (s > ends[n - 1] && s < 1.0) ends[n++] = s;
        ends[n++] = 1.0;
        return n;
    }

    void add_section(Immersed& sum, double s, double weight, bool under) const {
        Section const section = between(f_, s);
        double const length = maths::hypot(section.lateral.z, section.sagittal.z);
        double const reach = height_reach(section);
        double const cos_t = length > 0.0 ? section.lateral.z / length : 1.0,
                     sin_t = length > 0.0 ? section.sagittal.z / length : 0.0;
        // Conjugate axes turned within the ellipse so that only `up` has a height.
        Vector3 const up = cos_t * section.lateral + sin_t * section.sagittal;
        Vector3 const across = cos_t * section.sagittal - sin_t * section.lateral;
        Vector3 const d_up = cos_t * du_ + sin_t * dv_, d_across = cos_t * dv_ - sin_t * du_;
        Vector3 const n = sign_ * cross(section.lateral, section.sagittal);
        double const j0 = dot(n, axis_), j_up = dot(n, d_up), j_across = dot(n, d_across);
        double const d = under ? 1.0 : (plane_ - section.centre.z) / reach;
        DiscPart const part = disc_part(d);
        double const volume = j0 * part.area + j_up * part.xi;
        sum.volume += weight * volume;
        sum.moment = sum.moment
                     + weight
                           * (volume * section.centre + (j0 * part.xi + j_up * part.xi2) * up
                              + (j_across * part.eta2) * across);
        if (under || std::abs(d) >= 1.0) return;
        double const e = std::sqrt((1.0 - d) * (1.0 + d)), e3 = 2.0 / 3.0 * e * e * e;
        double const x = section.centre.x + d * up.x, chord = 2.0 * e * (j0 + d * j_up);
        double const w = weight / reach;
        sum.plane += w * chord;
        sum.plane_x += w * (x * chord + across.x * j_across * e3);
        sum.plane_xx += w
                        * (x * x * chord + 2.0 * x * across.x * j_across * e3
                           + across.x * across.x * (j0 + d * j_up) * e3);
    }

    /// Polynomials of degree 3 in s at most: exact.
    void whole(Immersed& sum, double a, double b) const {
        constexpr double aside = 0.38729833462074168852; // sqrt(3/5)/2: Gauss' rule of three nodes
        auto const add = [&](double u, double w) { add_section(sum, a + (b - a) * u, (b - a) * w, true); };
        add(0.5, 4.0 / 9.0);
        add(0.5 + aside, 5.0 / 18.0);
        add(0.5 - aside, 5.0 / 18.0);
    }
    /// s = a + (b - a) sin2(pi u/2) turns the square-root ends of a cut stretch into smooth ones.
    void partial(Immersed& sum, double a, double b) const {
        using Rule = boost::math::quadrature::gauss<double, 20>;
        auto const add = [&](double u, double w) {
            double const s = a + (b - a) * square(maths::sin(0.5 * pi * u));
            add_section(sum, s, 0.5 * w * (b - a) * 0.5 * pi * maths::sin(pi * u), false);
        };
        for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
            double const x = Rule::abscissa()[i], w = Rule::weights()[i];
            add(0.5 * (1.0 + x), w);
            add(0.5 * (1.0 - x), w);
        }
    }

    Frustum const& f_;
    double plane_;
    Vector3 axis_{}, du_{}, dv_{};
    double sign_ = 1.0;
};

} // namespace

Immersed immersed(std::vector<Frustum> const& frusta, double plane_z) {
    Immersed sum{0.0, {0, 0, 0}, 0.0, 0.0, 0.0};
    for (Frustum const& f : frusta) Cut(f, plane_z).add_to(sum);
    return sum;
}

} // namespace libdrag
