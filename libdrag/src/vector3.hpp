#pragma once
/// Arithmetic of Vector3, for the sources of posture, area and what floats.

#include <cmath>

#include <libdrag/posture.hpp>

#include "vector_math.hpp"

namespace libdrag {

constexpr Vector3 operator+(Vector3 a, Vector3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
constexpr Vector3 operator-(Vector3 a, Vector3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
constexpr Vector3 operator*(double k, Vector3 a) { return {k * a.x, k * a.y, k * a.z}; }
constexpr double dot(Vector3 a, Vector3 b) { return a.x * b.x + a.y * b.y + a.z * b.z; }
constexpr Vector3 cross(Vector3 a, Vector3 b) {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double norm(Vector3 a) { return std::sqrt(dot(a, a)); }
inline Vector3 unit(Vector3 a) { return (1.0 / norm(a)) * a; }

constexpr Vector3 mix(Vector3 a, Vector3 b, double share) { return a + share * (b - a); }
/// Section at a share of the way from rear to front.
constexpr Section between(Frustum const& f, double share) {
    return {mix(f.rear.centre, f.front.centre, share), mix(f.rear.lateral, f.front.lateral, share),
            mix(f.rear.sagittal, f.front.sagittal, share)};
}

/// Turned about x, y towards z.
inline Vector3 about_x(Vector3 p, double angle) {
    auto const [s, c] = kernel::sin_cos_2pi(angle / (2.0 * pi));
    return {p.x, c * p.y - s * p.z, s * p.y + c * p.z};
}
/// Turned about y, x (forward) towards z (up): raises the head, lowers the legs.
inline Vector3 about_y(Vector3 p, double angle) {
    auto const [s, c] = kernel::sin_cos_2pi(angle / (2.0 * pi));
    return {c * p.x - s * p.z, p.y, s * p.x + c * p.z};
}
/// Turned about z, x towards y: to the left.
inline Vector3 about_z(Vector3 p, double angle) {
    auto const [s, c] = kernel::sin_cos_2pi(angle / (2.0 * pi));
    return {c * p.x - s * p.y, s * p.x + c * p.y, p.z};
}

} // namespace libdrag
