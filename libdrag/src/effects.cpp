#include "effects.hpp"

#include <algorithm>
#include <cmath>

#include "dispatch.hpp"

namespace libdrag {

/// Eight interleaved sums of each: the same order of additions everywhere, and not one long chain.
template <class T, bool weighted>
LIBDRAG_KERNEL void EffectSums::cubic(float const* x, T const* y, double const* weights, std::size_t n,
                                      double origin, Sums* to) {
    constexpr std::size_t lanes = 8;
    double s[13][lanes] = {};
    auto const add = [&](std::size_t i, std::size_t l) {
        double const w = weighted ? weights[i] : 1.0;
        double const x1 = x[i], x2 = x1 * x1, x3 = x2 * x1, d = static_cast<double>(y[i]) - origin;
        double const wd = w * d, wx1 = w * x1, wx2 = w * x2, wx3 = w * x3;
        s[0][l] += w;
        s[1][l] += wx1;
        s[2][l] += wx2;
        s[3][l] += wx3;
        s[4][l] += wx2 * x2;
        s[5][l] += wx3 * x2;
        s[6][l] += wx3 * x3;
        s[7][l] += wd;
        s[8][l] += wx1 * d;
        s[9][l] += wx2 * d;
        s[10][l] += wx3 * d;
        s[11][l] += wd * d;
        s[12][l] += w * w;
    };
    std::size_t const whole = n / lanes * lanes;
    for (std::size_t i = 0; i < whole; i += lanes)
        for (std::size_t l = 0; l < lanes; ++l) add(i + l, l);
    for (std::size_t i = whole; i < n; ++i) add(i, i - whole);
    auto const total = [&](std::size_t k) {
        return ((s[k][0] + s[k][1]) + (s[k][2] + s[k][3])) + ((s[k][4] + s[k][5]) + (s[k][6] + s[k][7]));
    };
    for (std::size_t k = 0; k < 7; ++k) to->x[k] += total(k);
    for (std::size_t k = 0; k < 4; ++k) to->dx[k] += total(7 + k);
    to->d2 += total(11);
    to->w2 += total(12);
}

template <class T>
void EffectSums::add_block(float const* x, T const* y, double const* weights, std::size_t n) {
    if (n == 0) return;
    if (sums_.x[0] == 0.0) origin_ = static_cast<double>(y[0]);
    if (groups_.empty()) {
        if (weights != nullptr) kernel::dispatch<cubic<T, true>>(x, y, weights, n, origin_, &sums_);
        else kernel::dispatch<cubic<T, false>>(x, y, weights, n, origin_, &sums_);
        return;
    }
    double w1 = 0.0, w2 = 0.0, wd1 = 0.0, wd2 = 0.0;
    for (std::size_t i = 0; i < n; ++i) {
        double const w = weights != nullptr ? weights[i] : 1.0, d = static_cast<double>(y[i]) - origin_;
        Group& group = groups_[static_cast<std::size_t>(x[i])];
        group.w += w;
        group.wd += w * d;
        w1 += w;
        w2 += w * w;
        wd1 += w * d;
        wd2 += w * d * d;
    }
    sums_.x[0] += w1;
    sums_.w2 += w2;
    sums_.dx[0] += wd1;
    sums_.d2 += wd2;
}

template void EffectSums::add_block(float const*, float const*, double const*, std::size_t);
template void EffectSums::add_block(float const*, double const*, double const*, std::size_t);

void EffectSums::add(EffectSums const& later) {
    if (sums_.x[0] == 0.0) {
        *this = later;
        return;
    }
    // d from this origin is the later one's d and `by`.
    double const by = later.origin_ - origin_;
    Sums const& more = later.sums_;
    sums_.d2 += more.d2 + by * (2.0 * more.dx[0] + by * more.x[0]);
    sums_.w2 += more.w2;
    for (std::size_t k = 0; k < sums_.dx.size(); ++k) sums_.dx[k] += more.dx[k] + by * more.x[k];
    for (std::size_t k = 0; k < sums_.x.size(); ++k) sums_.x[k] += more.x[k];
    for (std::size_t g = 0; g < groups_.size(); ++g) {
        groups_[g].w += later.groups_[g].w;
        groups_[g].wd += later.groups_[g].wd + by * later.groups_[g].w;
    }
}

double EffectSums::share() const {
    double const W = sums_.x[0], mean = sums_.dx[0] / W;
    double const total = sums_.d2 - W * mean * mean;
    if (sums_.d2 == 0.0) return 0.0;
    if (!std::isfinite(total)) return total - total;

    double left = total, regressors = 0.0;
    if (groups_.empty()) {
        // Sums of squares and products about the means of x, x2, x3 and d; each of the first three is taken out of
        // those after it, and what is left of d is what they do not explain.
        double about[4][4];
        auto const column = [&](std::size_t k) { return k < 3 ? sums_.x[k + 1] : sums_.dx[0]; };
        auto const product = [&](std::size_t a, std::size_t b) {
            return a == 3 && b == 3 ? sums_.d2 : b == 3 ? sums_.dx[a + 1] : sums_.x[a + b + 2];
        };
        for (std::size_t a = 0; a < 4; ++a)
            for (std::size_t b = a; b < 4; ++b) about[a][b] = product(a, b) - column(a) * column(b) / W;
        for (std::size_t k = 0; k < 3; ++k) {
            if (!(about[k][k] > 1e-12 * product(k, k))) continue;
            for (std::size_t a = k + 1; a < 4; ++a)
                for (std::size_t b = a; b < 4; ++b) about[a][b] -= about[k][a] * about[k][b] / about[k][k];
        }
        left = about[3][3];
        regressors = 3.0;
    } else {
        regressors = -1.0;
        left += W * mean * mean;
        for (Group const& group : groups_)
            if (group.w > 0.0) {
                left -= group.wd * group.wd / group.w;
                regressors += 1.0;
            }
    }
    double const n = W * W / sums_.w2;
    if (n - regressors - 1.0 <= 0.0) return 0.0;
    // R2 less what so many regressors explain of n values by chance.
    return std::max(0.0, 1.0 - left / total * (n - 1.0) / (n - regressors - 1.0));
}

} // namespace libdrag
