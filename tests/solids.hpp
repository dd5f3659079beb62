#pragma once
#include <cmath>
#include <vector>

#include <libdrag/area.hpp>

/// Simple solids with the long axis along x, centred on the origin (the frustum on its mid-height), made of the
/// same frusta as a body. Metres.
namespace solids {

using namespace libdrag;

inline Section section(double x, double y, double z) { return {{x, 0, 0}, {0, y, 0}, {0, 0, z}}; }

inline std::vector<Frustum> chain(std::vector<Section> const& sections) {
    std::vector<Frustum> frusta;
    for (std::size_t i = 1; i < sections.size(); ++i)
        frusta.push_back({sections[i - 1], sections[i], Part::trunk});
    return frusta;
}

/// Half-axes in x, y, z.
inline std::vector<Frustum> ellipsoid(double a, double b, double c, int slices) {
    std::vector<Section> sections;
    for (int i = 0; i <= slices; ++i) {
        double const t = pi * i / slices, r = i == 0 || i == slices ? 0.0 : std::sin(t);
        sections.push_back(section(-a * std::cos(t), b * r, c * r));
    }
    return chain(sections);
}

/// Length without caps.
inline std::vector<Frustum> capsule(double radius, double length, int slices_per_cap) {
    std::vector<Section> sections;
    for (int i = 0; i <= slices_per_cap; ++i) {
        double const t = 0.5 * pi * i / slices_per_cap, r = radius * std::sin(t);
        sections.push_back(section(-0.5 * length - radius * std::cos(t), r, r));
    }
    for (int i = slices_per_cap; i >= 0; --i) {
        Section const& rear = sections[static_cast<std::size_t>(i)];
        sections.push_back({{-rear.centre.x, 0, 0}, rear.lateral, rear.sagittal});
    }
    return chain(sections);
}

inline std::vector<Frustum> frustum(double rear_radius, double front_radius, double length) {
    return chain({section(-0.5 * length, rear_radius, rear_radius),
                  section(0.5 * length, front_radius, front_radius)});
}

inline std::vector<Frustum> cylinder(double radius, double length) { return frustum(radius, radius, length); }

} // namespace solids

/// Their exact areas as seen with the long axis at `tilt` to the view line, and a volume. Elementary geometry.
namespace exact {

using libdrag::pi;

inline double cylinder_projected_area(double radius, double length, double tilt) {
    return 2.0 * radius * length * std::abs(std::sin(tilt))
           + pi * libdrag::square(radius) * std::abs(std::cos(tilt));
}

inline double capsule_projected_area(double radius, double length, double tilt) {
    return 2.0 * radius * length * std::abs(std::sin(tilt)) + pi * libdrag::square(radius);
}

// The convex hull of two discs seen as ellipses, flattened by cos(tilt); unflattened it is the hull of
// two circles whose centres lie D = length tan(tilt) apart.
inline double frustum_projected_area(double large_radius, double small_radius, double length, double tilt) {
    double const R = large_radius, r = small_radius;
    double const s = std::abs(std::sin(tilt)), c = std::abs(std::cos(tilt));
    // Multiplied through by c, so that a side view (c = 0, D infinite) needs no case of its own.
    double const Dc = length * s;
    if (Dc <= (R - r) * c) return pi * libdrag::square(R) * c;
    double const psi = std::asin((R - r) * c / Dc);
    double const tangent = std::sqrt(libdrag::square(Dc) - libdrag::square((R - r) * c));
    return c * (libdrag::square(R) * (0.5 * pi + psi) + libdrag::square(r) * (0.5 * pi - psi))
           + (R + r) * tangent;
}

/// Between ellipses of half-axes (a0, b0) and (a1, b1), Hanavan 1964.
inline double elliptical_frustum_volume(double height, double a0, double b0, double a1, double b1) {
    return pi * height * (2.0 * a0 * b0 + a0 * b1 + a1 * b0 + 2.0 * a1 * b1) / 6.0;
}

} // namespace exact
