#include <libdrag/area.hpp>

#include <algorithm>
#include <limits>
#include <string>
#include <utility>

#include <Eigen/Dense>
#include <boost/math/interpolators/makima.hpp>
#include <boost/math/special_functions/ellint_rg.hpp>

#include "vector3.hpp"

namespace libdrag {
namespace {

/// A section seen along the view line, y across and z up: its rim is
/// y = centre_y + lean u +- half_width sqrt(1 - u2), z = centre_z + half_height u, -1 <= u <= 1.
struct Outline {
    double centre_y, centre_z, half_height, half_width, lean;
};

Outline outline(Section const& s, Vector3 across, Vector3 up) {
    double const uy = dot(s.lateral, across), uz = dot(s.lateral, up);
    double const vy = dot(s.sagittal, across), vz = dot(s.sagittal, up);
    double const half_height = std::sqrt(uz * uz + vz * vz);
    double const breadth = std::sqrt(uy * uy + vy * vy);
    Outline result{dot(s.centre, across), dot(s.centre, up), 0.0, breadth, 0.0};
    if (half_height > 1e-9 * breadth) { // else a section seen edge-on, lying along the row
        result.half_height = half_height;
        result.half_width = std::abs(uy * vz - vy * uz) / half_height;
        result.lean = (uy * uz + vy * vz) / half_height;
    }
    return result;
}

/// How far two outlines are from being scaled copies of each other; half the relative difference of
/// their ratios of width to height, if upright.
double dissimilarity(Outline const& a, Outline const& b) {
    double const turn = std::abs(a.half_width * b.half_height - b.half_width * a.half_height)
                        + std::abs(a.lean * b.half_height - b.lean * a.half_height);
    return turn / (a.half_width * b.half_height + b.half_width * a.half_height + 1e-30);
}

struct Span {
    double left, right;
};

/// A frustum as seen along the view line, outlines between its two ends taken to vary linearly with the
/// share s of the way. (Exact if the end sections are similar; `add_swaths` cuts others until it is
/// nearly so.)
class Swath {
public:
    Swath(Outline const& a, Outline const& b)
        : a_(a),
          d_{b.centre_y - a.centre_y, b.centre_z - a.centre_z, b.half_height - a.half_height,
             b.half_width - a.half_width, b.lean - a.lean},
          top_slope_(d_.centre_z + d_.half_height),
          bottom_slope_(d_.centre_z - d_.half_height),
          low_(std::min(a.centre_z - a.half_height, b.centre_z - b.half_height)),
          high_(std::max(a.centre_z + a.half_height, b.centre_z + b.half_height)),
          bounds_{std::min(a.centre_y - reach(a), b.centre_y - reach(b)),
                  std::max(a.centre_y + reach(a), b.centre_y + reach(b))},
          upright_(a.centre_y == 0.0 && b.centre_y == 0.0 && a.lean == 0.0 && b.lean == 0.0) {
        // On a row, with k = half_width / half_height and the lean's share taken constant at their means,
        // the right edge is y0 + g s + k sqrt(Q(s)), Q quadratic: where it is largest has a closed form.
        // That is exact between similar sections and a start for one Newton step between others.
        double const heights = a.half_height + b.half_height;
        if (heights <= 0.0) return;
        double const k = (a.half_width + b.half_width) / heights;
        dissimilar_ = dissimilarity(a, b) > 0.01;
        double const g = d_.centre_y - (a.lean + b.lean) / heights * d_.centre_z;
        double const curvature = g * g + k * k * top_slope_ * bottom_slope_;
        if (curvature <= 1e-12 * (g * g + k * k * (square(top_slope_) + square(bottom_slope_)))) return;
        has_extreme_ = true;
        steep_ = top_slope_ * bottom_slope_ <= 1e-9 * (square(top_slope_) + square(bottom_slope_));
        extreme_slope_ = g / std::sqrt(curvature);
        extreme_square_ = 0.25 * k * k / curvature;
    }

    [[nodiscard]] double low() const { return low_; }
    [[nodiscard]] double high() const { return high_; }
    /// Holds the span of every row.
    [[nodiscard]] Span bounds() const { return bounds_; }

    /// What the frustum covers of the row at z, low() <= z <= high().
    [[nodiscard]] Span span(double z) const {
        Row row{z, z - a_.centre_z - a_.half_height, z - a_.centre_z + a_.half_height, 0.0, 1.0};
        // Sections that reach the row: s top_slope >= below_top and s bottom_slope <= above_bottom.
        if (top_slope_ > 0.0) row.from = std::max(row.from, row.below_top / top_slope_);
        if (top_slope_ < 0.0) row.to = std::min(row.to, row.below_top / top_slope_);
        if (bottom_slope_ > 0.0) row.to = std::min(row.to, row.above_bottom / bottom_slope_);
        if (bottom_slope_ < 0.0) row.from = std::max(row.from, row.above_bottom / bottom_slope_);
        row.from = std::min(row.from, 1.0);
        row.to = std::max(row.to, row.from);

        double const right = farthest(row, 1.0);
        return {upright_ ? -right : farthest(row, -1.0), right};
    }

private:
    struct Row {
        double z, below_top, above_bottom; ///< height, and its distance from top and bottom at the rear
        double from, to;                   ///< range of s that reaches it
    };

    static double reach(Outline const& o) { return o.half_width + std::abs(o.lean); }

    /// Edge of one section on the row; side +1 right, -1 left.
    [[nodiscard]] double edge(Row const& row, double s, double side) const {
        double const half_height = a_.half_height + s * d_.half_height;
        double const centre = a_.centre_y + s * d_.centre_y;
        double const half_width = a_.half_width + s * d_.half_width;
        if (half_height <= 0.0) return centre + side * half_width;
        double const q = (s * top_slope_ - row.below_top) * (row.above_bottom - s * bottom_slope_);
        double const u = row.z - a_.centre_z - s * d_.centre_z;
        return centre
               + ((a_.lean + s * d_.lean) * u + side * half_width * std::sqrt(std::max(q, 0.0)))
                     / half_height;
    }

    /// One Newton step for the place of the outermost edge, from the closed form for similar sections.
    [[nodiscard]] double refined(Row const& row, double s, double A, double B, double root_D,
                                 double side) const {
        double const half_height = a_.half_height + s * d_.half_height;
        double const q = (s * top_slope_ - row.below_top) * (row.above_bottom - s * bottom_slope_);
        if (half_height <= 0.0 || q <= 0.0) return s;
        // side (edge - centre) = side lean_share u + k sqrt(Q), u the height above the section's centre.
        double const k = (a_.half_width + s * d_.half_width) / half_height;
        double const lean_share = (a_.lean + s * d_.lean) / half_height;
        double const growth = d_.half_height / half_height;
        double const dk = d_.half_width / half_height - k * growth, ddk = -2.0 * dk * growth;
        double const dl = d_.lean / half_height - lean_share * growth, ddl = -2.0 * dl * growth;
        double const u = row.z - a_.centre_z - s * d_.centre_z, du = -d_.centre_z;
        double const r = std::sqrt(q), dr = (A * s + 0.5 * B) / r, ddr = -0.25 * square(root_D) / (q * r);
        double const first = side * (d_.centre_y + dl * u + lean_share * du) + dk * r + k * dr;
        double const second = side * (ddl * u + 2.0 * dl * du) + ddk * r + 2.0 * dk * dr + k * ddr;
        if (!(second < 0.0)) return s;
        return std::min(std::max(s - first / second, row.from), row.to);
    }

    /// Outermost edge of all sections on the row.
    [[nodiscard]] double farthest(Row const& row, double side) const {
        auto const outer = [side](double p, double q) {
            return side > 0.0 ? std::max(p, q) : std::min(p, q);
        };
        auto const at_ends = [&] { return outer(edge(row, row.from, side), edge(row, row.to, side)); };
        if (!has_extreme_) return at_ends();
        // Q(s) = A s2 + B s + C, D its discriminant; at the extreme Q' = -side g sqrt(D / curvature).
        double const A = -top_slope_ * bottom_slope_;
        double const B = top_slope_ * row.above_bottom + bottom_slope_ * row.below_top;
        double const C = -row.below_top * row.above_bottom;
        double const root_D = std::abs(top_slope_ * row.above_bottom - bottom_slope_ * row.below_top);
        double const slope = -side * extreme_slope_ * root_D;
        // Of the two forms of the root of a quadratic, the one that does not cancel.
        double const s = slope * B > 0.0 ? 2.0 * (extreme_square_ * square(root_D) - C) / (slope + B)
                                         : (slope - B) / (2.0 * A);
        double inside = s > row.from ? std::min(s, row.to) : row.from;
        if (dissimilar_) inside = refined(row, inside, A, B, root_D, side);
        // Where one end outgrows the shift between them (A >= 0), the extreme may lie on the branch of Q
        // that has negative half-heights, and the edge then is monotone.
        return steep_ ? outer(edge(row, inside, side), at_ends()) : edge(row, inside, side);
    }

    Outline a_, d_; ///< outline at the rear, and its change to the front
    double top_slope_, bottom_slope_, low_, high_;
    Span bounds_;
    bool upright_; ///< left and right mirror each other about y = 0
    bool has_extreme_ = false, steep_ = false, dissimilar_ = false;
    double extreme_slope_ = 0.0, extreme_square_ = 0.0;
};

/// Outlines of a frustum, cut in halves until linear interpolation between outlines is good to 0.4 % of
/// their size, and twice at most to bring ends of different shape closer together. Cuts are needed where
/// sections are seen nearly edge-on and the axis bends, at the shoulders and in the feet.
void add_swaths(std::vector<Swath>& swaths, Section const& rear, Section const& front, Vector3 across,
                Vector3 up, int depth = 0) {
    auto const mean = [](Vector3 a, Vector3 b) { return 0.5 * (a + b); };
    Section const middle{mean(rear.centre, front.centre), mean(rear.lateral, front.lateral),
                         mean(rear.sagittal, front.sagittal)};
    Outline const a = outline(rear, across, up), b = outline(front, across, up),
                  m = outline(middle, across, up);
    double const deviation = std::abs(m.half_height - 0.5 * (a.half_height + b.half_height))
                             + std::abs(m.half_width - 0.5 * (a.half_width + b.half_width))
                             + std::abs(m.lean - 0.5 * (a.lean + b.lean));
    bool const curved = deviation > 4e-3 * (m.half_height + m.half_width + std::abs(m.lean));
    bool const cut = (curved && depth < 6) || (dissimilarity(a, b) > 0.06 && depth < 2);
    if (cut) {
        add_swaths(swaths, rear, middle, across, up, depth + 1);
        add_swaths(swaths, middle, front, across, up, depth + 1);
    } else {
        swaths.emplace_back(a, b);
    }
}

bool covered(std::vector<Span> const& spans, Span sought) {
    return std::any_of(spans.begin(), spans.end(),
                       [&](Span s) { return s.left <= sought.left && sought.right <= s.right; });
}

/// Adds a span to a sorted list of disjoint ones.
void unite(std::vector<Span>& spans, Span added) {
    auto first = spans.begin();
    while (first != spans.end() && first->right < added.left) ++first;
    auto last = first;
    for (; last != spans.end() && last->left <= added.right; ++last) {
        added.left = std::min(added.left, last->left);
        added.right = std::max(added.right, last->right);
    }
    if (first == last) {
        spans.insert(first, added);
    } else {
        *first = added;
        spans.erase(first + 1, last);
    }
}

/// Fejer's second rule: nodes crowd towards both ends, exact for polynomials of degree < nodes.
template <class F> double integral(F const& f, double from, double to, int nodes) {
    double const centre = 0.5 * (from + to), half = 0.5 * (to - from);
    double sum = 0.0;
    for (int i = 1; i <= nodes; ++i) {
        double const t = pi * i / (nodes + 1), sine = std::sin(t), cosine = std::cos(t);
        // sum over odd j of sin(j t) / j, by the recurrence of sin((j + 2) t)
        double weight = 0.0, previous = -sine, current = sine;
        double const twice_cos_2t = 2.0 * (2.0 * cosine * cosine - 1.0);
        for (int j = 1; j <= nodes; j += 2) {
            weight += current / j;
            double const next = twice_cos_2t * current - previous;
            previous = current;
            current = next;
        }
        sum += weight * sine * f(centre - half * cosine);
    }
    return sum * half * 4.0 / (nodes + 1);
}

bool on_the_right(Part part) { return part == Part::right_arm || part == Part::right_leg; }

/// @param mirrored the right half mirrors the left about the plane y = 0, which holds the direction:
/// only the left half is then measured
double silhouette_area(std::vector<Frustum> const& frusta, Vector3 direction, int rows, bool mirrored) {
    Vector3 const forward = unit(direction);
    Vector3 const reference = std::abs(forward.z) < 0.9 ? Vector3{0, 0, 1} : Vector3{1, 0, 0};
    Vector3 const across = unit(cross(reference, forward));
    Vector3 const up = cross(forward, across);

    std::vector<Swath> swaths;
    swaths.reserve(2 * frusta.size());
    std::vector<double> ends; // rows where a part of the body begins or ends
    for (std::size_t i = 0; i < frusta.size();) {
        Part const part = frusta[i].part;
        double low = std::numeric_limits<double>::max(), high = std::numeric_limits<double>::lowest();
        for (; i < frusta.size() && frusta[i].part == part; ++i) {
            if (mirrored && on_the_right(part)) continue;
            std::size_t const first = swaths.size();
            add_swaths(swaths, frusta[i].rear, frusta[i].front, across, up);
            for (std::size_t k = first; k < swaths.size(); ++k) {
                low = std::min(low, swaths[k].low());
                high = std::max(high, swaths[k].high());
            }
        }
        if (low > high) continue;
        ends.push_back(low);
        ends.push_back(high);
    }
    if (swaths.empty()) return 0.0;
    // The broadest first: much of the rest is then hidden and need not be computed.
    std::sort(swaths.begin(), swaths.end(), [](Swath const& a, Swath const& b) {
        return a.bounds().right - a.bounds().left > b.bounds().right - b.bounds().left;
    });

    std::vector<Span> spans;
    auto const width = [&](double z) {
        spans.clear();
        for (Swath const& s : swaths)
            if (s.low() <= z && z <= s.high() && !covered(spans, s.bounds())) unite(spans, s.span(z));
        double sum = 0.0;
        for (Span const& s : spans)
            sum += mirrored ? 2.0 * std::max(s.right - std::max(s.left, 0.0), 0.0) : s.right - s.left;
        return sum;
    };
    // The slope of the width is infinite where a part begins or ends: the rows are shared among the
    // stretches between such places.
    std::sort(ends.begin(), ends.end());
    double const total = ends.back() - ends.front();
    double area = 0.0;
    for (std::size_t i = 1, from = 0; i < ends.size(); ++i) {
        bool const last = i + 1 == ends.size();
        if (!last && (ends[i] - ends[from] < 0.01 * total || ends.back() - ends[i] < 0.01 * total)) continue;
        double const share = (ends[i] - ends[from]) / total;
        if (share > 0.0)
            area += integral(width, ends[from], ends[i],
                             std::max(4, static_cast<int>(std::lround(rows * share))));
        from = i;
    }
    return area;
}

double log_projected_area(PosedBody const& level, double incline, int rows) {
    Vector3 const travel{std::cos(incline), 0.0, -std::sin(incline)}; // as the inclined body sees it
    return std::log(silhouette_area(level.frusta(), travel, rows, level.symmetric()));
}

void require_rows(int rows) {
    if (rows < 8) throw InvalidInput("rows", std::to_string(rows), "8 or more");
}

constexpr double degree = pi / 180.0;

/// Inclines where silhouettes are computed, degrees; between them makima.
constexpr std::array mean_knots{0.0,  1.0,  2.0,  3.0,  4.0,  5.0,  6.0,  7.0,  8.0,  9.0,  10.0, 12.0,
                                14.0, 16.0, 18.0, 20.0, 23.0, 26.0, 30.0, 35.0, 40.0, 46.0, 53.0, 60.0};
constexpr std::array mode_knots{0.0, 2.0, 4.0, 6.0, 9.0, 13.0, 19.0, 28.0, 42.0, 60.0};
constexpr int mode_rows = 24; ///< differences of silhouettes with equal rows: their common error cancels

/// The body with dimension i one SD larger, or, where that would turn the order of its heights, one SD
/// smaller or a tenth of it; and by how many SD it was moved.
std::pair<Body, double> shifted(Body const& body, std::size_t i) {
    BodyDimension const& dimension = body.dimensions()[i];
    for (double const steps : {1.0, -1.0, 0.1, -0.1}) {
        try {
            return {body.with(dimension_list[i].name, dimension.value + steps * dimension.sd), steps};
        } catch (InvalidInput const&) {
            continue;
        }
    }
    return {body, 1.0};
}

template <std::size_t N>
std::vector<double> on_grid(std::array<double, N> const& knots, std::vector<double> values,
                            AreaCurve const& grid, std::size_t size) {
    std::vector<double> x;
    for (double const knot : knots) x.push_back(knot * degree);
    boost::math::interpolators::makima<std::vector<double>> const curve(std::move(x), std::move(values));
    std::vector<double> result(size);
    for (std::size_t i = 0; i < size; ++i)
        result[i] = curve(std::min(grid.start + static_cast<double>(i) * grid.step, knots.back() * degree));
    return result;
}

} // namespace

ProjectedArea projected_area(PosedBody const& body, int rows) {
    require_rows(rows);
    return ProjectedArea{Area::from_value(silhouette_area(body.frusta(), {1, 0, 0}, rows, body.symmetric()))};
}

Area silhouette(std::vector<Frustum> const& frusta, Vector3 const& direction, int rows) {
    double const length = norm(direction);
    if (!(length > 0.0) || !std::isfinite(length))
        throw InvalidInput("direction", std::to_string(length), "a vector of finite length above zero");
    require_rows(rows);
    return Area::from_value(silhouette_area(frusta, direction, rows, false));
}

namespace closed_form {

double ellipsoid_projected_area(double a, double b, double c, double tilt) {
    return pi * b * std::hypot(c * std::cos(tilt), a * std::sin(tilt));
}

double ellipsoid_surface(double a, double b, double c) {
    return 4.0 * pi * boost::math::ellint_rg(square(a * b), square(a * c), square(b * c));
}

} // namespace closed_form

AreaCurve AreaCurve::of(Body const& body, Posture const& posture) {
    constexpr std::size_t size = 121;
    AreaCurve curve;
    curve.step = 0.5 * degree;

    Posture level = posture;
    level.incline = radians(0);
    PosedBody const posed = pose(body, level);
    std::vector<double> mean;
    for (double const knot : mean_knots)
        mean.push_back(log_projected_area(posed, knot * degree, default_rows));
    curve.mean = on_grid(mean_knots, std::move(mean), curve, size);

    constexpr Eigen::Index knots = mode_knots.size();
    auto const sample = [&](PosedBody const& b) {
        Eigen::VectorXd values(knots);
        for (Eigen::Index i = 0; i < knots; ++i)
            values[i] = log_projected_area(b, mode_knots[static_cast<std::size_t>(i)] * degree, mode_rows);
        return values;
    };
    Eigen::VectorXd const base = sample(posed);
    Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(knots, knots);
    for (std::size_t i = 0; i < dimension_list.size(); ++i) {
        if (body.dimensions()[i].sd.value() == 0.0) continue;
        auto const [changed, steps] = shifted(body, i);
        Eigen::VectorXd const delta = (sample(pose(changed, level)) - base) / steps;
        covariance += delta * delta.transpose();
    }

    // Discrete Karhunen-Loeve expansion: each knot weighs as much as the stretch of theta around it.
    Eigen::VectorXd weight(knots);
    for (Eigen::Index i = 0; i < knots; ++i) {
        auto const k = static_cast<std::size_t>(i);
        double const before = mode_knots[k == 0 ? 0 : k - 1],
                     after = mode_knots[std::min(k + 1, mode_knots.size() - 1)];
        weight[i] = std::sqrt(0.5 * (after - before));
    }
    Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> const solver(weight.asDiagonal() * covariance
                                                                * weight.asDiagonal());
    double const total = solver.eigenvalues().cwiseMax(0.0).sum();
    if (total <= 0.0) return curve;
    double kept = 0.0;
    for (Eigen::Index k = 0; k < static_cast<Eigen::Index>(max_modes); ++k) {
        double const variance = std::max(solver.eigenvalues()[knots - 1 - k], 0.0);
        Eigen::VectorXd mode =
            std::sqrt(variance) * solver.eigenvectors().col(knots - 1 - k).cwiseQuotient(weight);
        if (mode.sum() < 0.0) mode = -mode; // a sign of its own, whatever the solver's
        curve.modes.push_back(on_grid(mode_knots, {mode.begin(), mode.end()}, curve, size));
        kept += variance;
    }
    curve.variance_kept = kept / total;
    return curve;
}

} // namespace libdrag
