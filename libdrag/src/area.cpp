#include <libdrag/area.hpp>

#include <algorithm>
#include <limits>
#include <memory>
#include <mutex>
#include <string>
#include <utility>

#include <boost/math/interpolators/makima.hpp>

#include "deformation.hpp"
#include "maths.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

/// A section seen along the view line, y across and z up: its rim is
/// y = centre_y + lean u +- half_width sqrt(1 - u2), z = centre_z + half_height u, -1 <= u <= 1.
struct Outline {
    double centre_y, centre_z, half_height, half_width, lean;
};

struct View {
    Vector3 across, up;
};

constexpr double edge_on = 1e-9; ///< height over breadth of a section that lies along the row

Outline outline(Section const& s, View const& view) {
    double const uy = dot(s.lateral, view.across), uz = dot(s.lateral, view.up);
    double const vy = dot(s.sagittal, view.across), vz = dot(s.sagittal, view.up);
    double const half_height = std::sqrt(uz * uz + vz * vz);
    double const breadth = std::sqrt(uy * uy + vy * vy);
    Outline result{dot(s.centre, view.across), dot(s.centre, view.up), 0.0, breadth, 0.0};
    if (half_height > edge_on * breadth) {
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

bool same(Section const& a, Section const& b) {
    auto const equal = [](Vector3 p, Vector3 q) { return p.x == q.x && p.y == q.y && p.z == q.z; };
    return equal(a.centre, b.centre) && equal(a.lateral, b.lateral) && equal(a.sagittal, b.sagittal);
}

struct Span {
    double left, right;
};

/// Edges that a swath is asked for, so many at a time that loops over them vectorise: for each row the right one,
/// then for each row the left one, if that does not mirror it. A side is filled up to whole vectors with its last
/// row: most swaths have a handful.
struct Edges {
    static constexpr std::size_t most_rows = 64, lanes = 4;
    template <class T> using Each = std::array<T, 2 * most_rows>;

    std::size_t rows = 0;
    [[nodiscard]] std::size_t a_side() const { return (rows + lanes - 1) / lanes * lanes; }
    Each<int> row;
    Each<double> z, side;  ///< height of the row; +1 right, -1 left
    Each<double> at, edge; ///< section that reaches farthest to the side, and how far
};

/// A frustum as seen along the view line, outlines between its two ends taken to vary linearly with the
/// share s of the way. (Exact if the end sections are similar; `add_swaths` cuts others until it is
/// nearly so.)
class Swath {
public:
    Swath(Outline const& a, Outline const& b, int frustum, double share_from, double share_to)
        : a_(a),
          d_{b.centre_y - a.centre_y, b.centre_z - a.centre_z, b.half_height - a.half_height,
             b.half_width - a.half_width, b.lean - a.lean},
          top_slope_(d_.centre_z + d_.half_height),
          bottom_slope_(d_.centre_z - d_.half_height),
          low_(std::min(a.centre_z - a.half_height, b.centre_z - b.half_height)),
          high_(std::max(a.centre_z + a.half_height, b.centre_z + b.half_height)),
          bounds_{std::min(a.centre_y - reach(a), b.centre_y - reach(b)),
                  std::max(a.centre_y + reach(a), b.centre_y + reach(b))},
          frustum_(frustum),
          share_from_(share_from),
          share_to_(share_to),
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
    [[nodiscard]] int frustum() const { return frustum_; }
    /// Place in its frustum, 0 rear to 1 front, of a place in the swath.
    [[nodiscard]] double share(double at) const { return share_from_ + at * (share_to_ - share_from_); }

    /// What the frustum covers of the rows, low() <= z <= high(), and which of its sections reach farthest.
    LIBDRAG_KERNEL void cover(Edges& e) const {
        std::size_t const side = e.a_side(), n = upright_ ? side : 2 * side;
        for (std::size_t i = e.rows; i < side; ++i) e.z[i] = e.z[e.rows - 1];
        std::fill_n(e.side.begin(), side, 1.0);
        if (!upright_) {
            std::fill_n(e.side.begin() + side, side, -1.0);
            std::copy_n(e.z.begin(), side, e.z.begin() + side);
        }
        Swath const own = *this; // which no edge that is written can be part of
        if (!has_extreme_) own.each_edge<false, false, true>(e, n);
        else if (steep_ && dissimilar_) own.each_edge<true, true, true>(e, n);
        else if (steep_) own.each_edge<true, false, true>(e, n);
        else if (dissimilar_) own.each_edge<true, true, false>(e, n);
        else own.each_edge<true, false, false>(e, n);
        if (upright_) {
            for (std::size_t i = 0; i < side; ++i) e.edge[side + i] = -e.edge[i];
            std::copy_n(e.at.begin(), side, e.at.begin() + side);
        }
    }

private:
    static double reach(Outline const& o) { return o.half_width + std::abs(o.lean); }

    /// An edge that is sought.
    struct Sought {
        double z, side;                 ///< height of the row; +1 right, -1 left
        double below_top, above_bottom; ///< distance from top and bottom of the rear section
        double from, to;                ///< range of sections that reach the row
    };
    struct Found {
        double at, edge; ///< section that reaches farthest to the side, and how far
    };

    /// Outermost edge of all sections, and the section that makes it. All in one loop, so that what a row needs stays in
    /// registers.
    template <bool has_extreme, bool dissimilar, bool ends>
    LIBDRAG_KERNEL void each_edge(Edges& e, std::size_t n) const {
        Reach const reaches = this->reaches();
        for (std::size_t i = 0; i < n; ++i) {
            Sought const sought = this->sought(reaches, e.z[i], e.side[i]);
            Found found{};
            if constexpr (has_extreme) {
                double s = extreme(sought);
                if constexpr (dissimilar) s = refine(sought, s);
                found = {s, reached(sought, s)};
                // Where one end outgrows the shift between them, the extreme may lie on the branch of Q that has
                // negative half-heights, and the edge then is monotone.
                if constexpr (ends) found = farther(sought, found, sought.from);
            } else {
                found = {sought.from, reached(sought, sought.from)};
            }
            if constexpr (ends) found = farther(sought, found, sought.to);
            e.at[i] = found.at;
            e.edge[i] = found.edge;
        }
    }

    /// Sections that reach a row: s top_slope >= below_top and s bottom_slope <= above_bottom. A bound that its slope's
    /// sign puts at the other end becomes 0 or 1.
    struct Reach {
        double top_from, top_to, bottom_from, bottom_to, top_open, bottom_open;
    };
    LIBDRAG_KERNEL Reach reaches() const {
        double const per_top = 1.0 / top_slope_, per_bottom = 1.0 / bottom_slope_;
        return {top_slope_ > 0.0 ? per_top : 0.0,       top_slope_ < 0.0 ? per_top : 0.0,
                bottom_slope_ < 0.0 ? per_bottom : 0.0, bottom_slope_ > 0.0 ? per_bottom : 0.0,
                top_slope_ < 0.0 ? 0.0 : 1.0,           bottom_slope_ > 0.0 ? 0.0 : 1.0};
    }
    LIBDRAG_KERNEL Sought sought(Reach const& r, double z, double side) const {
        double const below_top = z - (a_.centre_z + a_.half_height);
        double const above_bottom = z - (a_.centre_z - a_.half_height);
        double const from =
            std::min(std::max(std::max(below_top * r.top_from, above_bottom * r.bottom_from), 0.0), 1.0);
        double const to = std::min(
            std::min(below_top * r.top_to + r.top_open, above_bottom * r.bottom_to + r.bottom_open), 1.0);
        return {z, side, below_top, above_bottom, from, std::max(to, from)};
    }

    LIBDRAG_KERNEL Found farther(Sought const& e, Found const& one, double at) const {
        double const another = reached(e, at);
        bool const instead = e.side * another > e.side * one.edge;
        return {instead ? at : one.at, instead ? another : one.edge};
    }

    /// Where similar sections reach farthest.
    LIBDRAG_KERNEL double extreme(Sought const& e) const {
        // Q(s) = A s2 + B s + C, D its discriminant; at the extreme Q' = -side g sqrt(D / curvature).
        double const A = -top_slope_ * bottom_slope_;
        double const p = top_slope_ * e.above_bottom, q = bottom_slope_ * e.below_top;
        double const B = p + q, C = -e.below_top * e.above_bottom;
        double const root_D = std::abs(p - q);
        double const slope = -e.side * extreme_slope_ * root_D;
        // Of the two forms of the root of a quadratic, the one that does not cancel.
        double const plus = slope + B, minus = slope - B, twice_A = 2.0 * A;
        double const over_plus = 2.0 * (extreme_square_ * square(root_D) - C);
        bool const first = slope * B > 0.0;
        double const s = (first ? over_plus : minus) / (first ? plus : twice_A);
        double const not_before = s > e.from ? s : e.from; // where s is not a number: the first
        return not_before < e.to ? not_before : e.to;
    }

    /// One Newton step for the place of the outermost edge, from the closed form for similar sections.
    LIBDRAG_KERNEL double refine(Sought const& e, double s) const {
        double const A = -top_slope_ * bottom_slope_;
        double const half_height = a_.half_height + s * d_.half_height;
        double const above_top = s * top_slope_ - e.below_top;
        double const below_bottom = e.above_bottom - s * bottom_slope_;
        double const q = above_top * below_bottom;
        // side (edge - centre) = side lean_share u + k sqrt(Q), u the height above the section's centre.
        double const per_height = 1.0 / half_height;
        double const k = (a_.half_width + s * d_.half_width) * per_height;
        double const lean_share = (a_.lean + s * d_.lean) * per_height;
        double const growth = d_.half_height * per_height;
        double const dk = d_.half_width * per_height - k * growth, ddk = -2.0 * dk * growth;
        double const dl = d_.lean * per_height - lean_share * growth, ddl = -2.0 * dl * growth;
        double const u = e.z - a_.centre_z - s * d_.centre_z, du = -d_.centre_z;
        double const p = top_slope_ * e.above_bottom, b = bottom_slope_ * e.below_top;
        double const r = std::sqrt(q), per_r = 1.0 / r;
        double const dr = (A * s + 0.5 * (p + b)) * per_r;
        double const ddr = -0.25 * square(p - b) * per_r * square(per_r);
        double const slope = e.side * (d_.centre_y + dl * u + lean_share * du) + dk * r + k * dr;
        double const bend = e.side * (ddl * u + 2.0 * dl * du) + ddk * r + 2.0 * dk * dr + k * ddr;
        double const step = s - slope / bend, later = step > e.from ? step : e.from;
        double const better = later < e.to ? later : e.to;
        bool const usable = (half_height > 0.0) & (q > 0.0) & (bend < 0.0);
        return usable ? better : s;
    }

    /// Edge of one section on the row.
    LIBDRAG_KERNEL double reached(Sought const& e, double s) const {
        double const half_height = a_.half_height + s * d_.half_height;
        double const centre = a_.centre_y + s * d_.centre_y;
        double const half_width = a_.half_width + s * d_.half_width;
        double const q = (s * top_slope_ - e.below_top) * (e.above_bottom - s * bottom_slope_);
        double const u = e.z - a_.centre_z - s * d_.centre_z;
        double const along = (a_.lean + s * d_.lean) * u;
        double const across = e.side * half_width * std::sqrt(std::max(q, 0.0));
        return half_height > 0.0 ? centre + (along + across) / half_height : centre + e.side * half_width;
    }

    Outline a_, d_; ///< outline at the rear, and its change to the front
    double top_slope_, bottom_slope_, low_, high_;
    Span bounds_;
    int frustum_;
    double share_from_, share_to_;
    bool upright_; ///< left and right mirror each other about y = 0
    bool has_extreme_ = false, steep_ = false, dissimilar_ = false;
    double extreme_slope_ = 0.0, extreme_square_ = 0.0;
};

LIBDRAG_KERNEL void cover(Swath const* swath, Edges* edges) { swath->cover(*edges); }

/// Where a body covers a row: spans that do not touch, from left to right. All rows share one store.
class Coverage {
public:
    struct Seen {
        Span span;
        int left_of, right_of;    ///< the swaths that make its ends
        double left_at, right_at; ///< and where in them
        int next;

        void take_right(Seen const& other) {
            span.right = other.span.right;
            right_of = other.right_of;
            right_at = other.right_at;
        }
    };

    explicit Coverage(std::size_t rows) : first_(rows, none) { seen_.reserve(4 * rows); }

    [[nodiscard]] bool hides(int row, Span sought) const {
        for (int i = first_[static_cast<std::size_t>(row)]; i != none; i = at(i).next)
            if (at(i).span.left <= sought.left && sought.right <= at(i).span.right) return true;
        return false;
    }

    void unite(int row, Seen const& added) {
        int* link = &first_[static_cast<std::size_t>(row)];
        while (*link != none && at(*link).span.right < added.span.left) link = &at(*link).next;
        if (*link == none || added.span.right < at(*link).span.left) {
            int const next = std::exchange(*link, static_cast<int>(seen_.size())); // before `seen_` may move
            seen_.push_back(added);
            seen_.back().next = next;
            return;
        }
        Seen& grown = at(*link);
        if (added.span.left < grown.span.left) {
            grown.span.left = added.span.left;
            grown.left_of = added.left_of;
            grown.left_at = added.left_at;
        }
        if (added.span.right > grown.span.right) grown.take_right(added);
        for (; grown.next != none && at(grown.next).span.left <= grown.span.right;
             grown.next = at(grown.next).next)
            if (at(grown.next).span.right > grown.span.right) grown.take_right(at(grown.next));
    }

    template <class F> void each(std::size_t row, F const& f) const {
        for (int i = first_[row]; i != none; i = at(i).next) f(at(i));
    }

private:
    static constexpr int none = -1;
    [[nodiscard]] Seen const& at(int i) const { return seen_[static_cast<std::size_t>(i)]; }
    [[nodiscard]] Seen& at(int i) { return seen_[static_cast<std::size_t>(i)]; }
    std::vector<int> first_;
    std::vector<Seen> seen_;
};

/// Fejer's second rule on [-1, 1]: nodes crowd towards both ends, exact for polynomials of degree < nodes.
struct Rule {
    std::vector<double> node, weight;

    explicit Rule(int nodes) {
        for (int i = 1; i <= nodes; ++i) {
            auto const [sine, cosine] = kernel::sin_cos_2pi(0.5 * i / (nodes + 1));
            // sum over odd j of sin(j t) / j, by the recurrence of sin((j + 2) t)
            double sum = 0.0, previous = -sine, current = sine;
            double const twice_cos_2t = 2.0 * (2.0 * cosine * cosine - 1.0);
            for (int j = 1; j <= nodes; j += 2) {
                sum += current / j;
                double const next = twice_cos_2t * current - previous;
                previous = current;
                current = next;
            }
            node.push_back(-cosine);
            weight.push_back(sum * sine * 4.0 / (nodes + 1));
        }
    }

    static constexpr int most = 128;
    /// Made when first asked for, then kept. @param nodes 1 to `most`
    static Rule const& of(int nodes) {
        static std::array<std::once_flag, most + 1> made;
        static std::array<std::unique_ptr<Rule>, most + 1> rules;
        auto const n = static_cast<std::size_t>(nodes);
        std::call_once(made[n], [&] { rules[n] = std::make_unique<Rule>(nodes); });
        return *rules[n];
    }
};

bool on_the_right(Part part) { return part == Part::right_arm || part == Part::right_leg; }

/// What is seen of a solid along a direction, row by row.
class Silhouette {
public:
    /// @param mirrored the right half mirrors the left about the plane y = 0, which holds the direction:
    /// only the left half is then measured
    Silhouette(std::vector<Frustum> const& frusta, Vector3 direction, int rows, bool mirrored)
        : frusta_(frusta), mirrored_(mirrored) {
        Vector3 const forward = unit(direction);
        Vector3 const reference = std::abs(forward.z) < 0.9 ? Vector3{0, 0, 1} : Vector3{1, 0, 0};
        view_.across = mirrored ? Vector3{0, 1, 0} : unit(cross(reference, forward));
        view_.up = cross(forward, view_.across);
        set_rows(add_parts(), rows);
        cover();
    }

    [[nodiscard]] double area() const {
        double sum = 0.0;
        for (std::size_t row = 0; row < z_.size(); ++row) {
            double width = 0.0;
            covered_.each(row, [&](Coverage::Seen const& s) {
                width += mirrored_ ? 2.0 * std::max(s.span.right - std::max(s.span.left, 0.0), 0.0)
                                   : s.span.right - s.span.left;
            });
            sum += weight_[row] * width;
        }
        return sum;
    }

    /// Hands over the points of the solid that are seen as its rim, each with the growth of the area per metre
    /// that the point moves along x, y, z: f(frustum, share of the way from rear to front, cos t, sin t, growth), the point
    /// being centre + cos(t) lateral + sin(t) sagittal of that section.
    template <class F> void each_rim_point(F const& f) const {
        for (std::size_t row = 0; row < z_.size(); ++row)
            covered_.each(row, [&](Coverage::Seen const& s) {
                double const side_weight = (mirrored_ ? 2.0 : 1.0) * weight_[row];
                if (mirrored_ && s.span.right <= 0.0) return;
                rim_point(f, z_[row], s.right_of, s.right_at, 1.0, side_weight);
                if (!mirrored_ || s.span.left > 0.0)
                    rim_point(f, z_[row], s.left_of, s.left_at, -1.0, side_weight);
            });
    }

private:
    /// @return ends of the parts of the body, rows where the slope of the width is infinite
    std::vector<double> add_parts() {
        swaths_.reserve(2 * frusta_.size());
        std::vector<double> ends;
        for (std::size_t i = 0; i < frusta_.size();) {
            Part const part = frusta_[i].part;
            std::size_t const first = swaths_.size();
            for (Outline end{}; i < frusta_.size() && frusta_[i].part == part; ++i) {
                if (mirrored_ && on_the_right(part)) continue;
                bool const goes_on = swaths_.size() > first && same(frusta_[i - 1].front, frusta_[i].rear);
                Outline const begin = goes_on ? end : outline(frusta_[i].rear, view_);
                end = outline(frusta_[i].front, view_);
                add_swaths(static_cast<int>(i), begin, end, 0.0, 1.0, 0);
            }
            if (swaths_.size() == first) continue;
            double low = std::numeric_limits<double>::max(), high = std::numeric_limits<double>::lowest();
            for (std::size_t k = first; k < swaths_.size(); ++k) {
                low = std::min(low, swaths_[k].low());
                high = std::max(high, swaths_[k].high());
            }
            ends.push_back(low);
            ends.push_back(high);
        }
        std::sort(ends.begin(), ends.end());
        return ends;
    }

    /// Cuts in halves until linear interpolation between outlines is good to 0.4 % of their size, and twice at
    /// most to bring ends of different shape closer together. Cuts are needed where sections are seen nearly
    /// edge-on and the axis bends, at the shoulders and in the feet.
    void add_swaths(int frustum, Outline const& a, Outline const& b, double from, double to, int depth) {
        double const half_way = 0.5 * (from + to);
        Outline const m = outline(between(frusta_[static_cast<std::size_t>(frustum)], half_way), view_);
        double const deviation = std::abs(m.half_height - 0.5 * (a.half_height + b.half_height))
                                 + std::abs(m.half_width - 0.5 * (a.half_width + b.half_width))
                                 + std::abs(m.lean - 0.5 * (a.lean + b.lean));
        bool const curved = deviation > 4e-3 * (m.half_height + m.half_width + std::abs(m.lean));
        if ((curved && depth < 6) || (dissimilarity(a, b) > 0.06 && depth < 2)) {
            add_swaths(frustum, a, m, from, half_way, depth + 1);
            add_swaths(frustum, m, b, half_way, to, depth + 1);
        } else {
            swaths_.emplace_back(a, b, frustum, from, to);
        }
    }

    /// Shares the rows among the stretches between ends of parts.
    void set_rows(std::vector<double> const& ends, int rows) {
        if (ends.empty()) return;
        z_.reserve(static_cast<std::size_t>(rows) + 8 * ends.size());
        weight_.reserve(z_.capacity());
        double const total = ends.back() - ends.front();
        for (std::size_t i = 1, from = 0; i < ends.size(); ++i) {
            bool const last = i + 1 == ends.size();
            if (!last && (ends[i] - ends[from] < 0.01 * total || ends.back() - ends[i] < 0.01 * total))
                continue;
            double const share = (ends[i] - ends[from]) / total;
            if (share > 0.0)
                add_rows(ends[from], ends[i], std::max(4, static_cast<int>(std::lround(rows * share))));
            from = i;
        }
    }
    void add_rows(double from, double to, int nodes) {
        int const pieces = (nodes + Rule::most - 1) / Rule::most;
        Rule const& rule = Rule::of((nodes + pieces - 1) / pieces);
        double const half = 0.5 * (to - from) / pieces;
        for (int piece = 0; piece < pieces; ++piece)
            for (std::size_t i = 0; i < rule.node.size(); ++i) {
                z_.push_back(from + half * (2 * piece + 1 + rule.node[i]));
                weight_.push_back(half * rule.weight[i]);
            }
    }

    void cover() {
        covered_ = Coverage(z_.size());
        // The broadest first: much of the rest is then hidden and need not be computed.
        std::vector<std::pair<double, int>> order;
        order.reserve(swaths_.size());
        for (std::size_t k = 0; k < swaths_.size(); ++k)
            order.emplace_back(swaths_[k].bounds().left - swaths_[k].bounds().right, static_cast<int>(k));
        std::sort(order.begin(), order.end());
        Edges edges;
        for (auto const& [negative_breadth, k] : order) {
            Swath const& swath = swaths_[static_cast<std::size_t>(k)];
            auto const first = std::lower_bound(z_.begin(), z_.end(), swath.low());
            for (auto z = first; z != z_.end() && *z <= swath.high(); ++z) {
                int const row = static_cast<int>(z - z_.begin());
                if (covered_.hides(row, swath.bounds())) continue;
                edges.row[edges.rows] = row;
                edges.z[edges.rows] = *z;
                if (++edges.rows == Edges::most_rows) unite(edges, k);
            }
            unite(edges, k);
        }
    }
    void unite(Edges& e, int k) {
        if (e.rows == 0) return;
        kernel::dispatch<libdrag::cover>(static_cast<Swath const*>(&swaths_[static_cast<std::size_t>(k)]),
                                         &e);
        for (std::size_t i = 0, j = e.a_side(); i < e.rows; ++i, ++j) {
            // Between two ends that lean opposite ways, seen all but edge-on, left and right change places.
            bool const turned = e.edge[j] > e.edge[i];
            std::size_t const right = turned ? j : i, left = turned ? i : j;
            covered_.unite(e.row[i], {{e.edge[left], e.edge[right]}, k, k, e.at[left], e.at[right], 0});
        }
        e.rows = 0;
    }

    template <class F>
    void rim_point(F const& f, double z, int swath, double at, double side, double weight) const {
        Swath const& seen = swaths_[static_cast<std::size_t>(swath)];
        double const share = seen.share(at);
        Section const s = between(frusta_[static_cast<std::size_t>(seen.frustum())], share);
        double const uy = dot(s.lateral, view_.across), uz = dot(s.lateral, view_.up);
        double const vy = dot(s.sagittal, view_.across), vz = dot(s.sagittal, view_.up);
        double const height = std::sqrt(uz * uz + vz * vz), breadth = std::sqrt(uy * uy + vy * vy);
        if (height <= edge_on * breadth) {
            if (breadth > 0.0)
                f(seen.frustum(), share, side * uy / breadth, side * vy / breadth,
                  side * weight * view_.across);
            return;
        }
        // The rim is height cos(t - t0) high, tan t0 = vz / uz; of the two points on the row, that on the side.
        double const cosine = std::clamp((z - dot(s.centre, view_.up)) / height, -1.0, 1.0);
        double const sine = (uz * vy - uy * vz > 0.0 ? side : -side) * std::sqrt(1.0 - square(cosine));
        double const cos_t = (cosine * uz - sine * vz) / height, sin_t = (cosine * vz + sine * uz) / height;
        // On a row that stays where it is, the edge moves as the tangent there slides past it.
        double const tangent_y = cos_t * vy - sin_t * uy, tangent_z = -sine * height;
        double const lean = std::abs(sine) > 1e-6 ? tangent_y / tangent_z : 0.0;
        f(seen.frustum(), share, cos_t, sin_t, side * weight * (view_.across - lean * view_.up));
    }

    std::vector<Frustum> const& frusta_;
    bool mirrored_;
    View view_{};
    std::vector<Swath> swaths_;
    std::vector<double> z_, weight_;
    Coverage covered_{0};
};

void require_rows(int rows) {
    if (rows < 8) throw InvalidInput("rows", std::to_string(rows), "8 or more");
}

constexpr double degree = pi / 180.0;

/// Inclines where silhouettes are computed, degrees; between them makima.
constexpr std::array mean_knots{0.0,  1.0,  2.0,  3.0,  4.0,  5.0,  6.0,  7.0,  8.0,  9.0,  10.0, 12.0,
                                14.0, 16.0, 18.0, 20.0, 23.0, 26.0, 30.0, 35.0, 40.0, 46.0, 53.0, 60.0};
/// Those of them at which the modes are computed: 0, 2, 4, 6, 9, 12, 18, 26, 40 and 60 degrees.
constexpr std::array<std::size_t, 10> mode_knots{0, 2, 4, 6, 9, 11, 14, 17, 20, 23};
constexpr std::size_t knots = mode_knots.size();
constexpr double mode_knot(std::size_t k) { return mean_knots[mode_knots[k]]; }

using AtKnots = std::array<double, knots>;

/// How ln A at the mode knots grows per metre that a coordinate of an end of a slice moves.
class Sensitivity {
public:
    explicit Sensitivity(std::size_t frusta) : growth_(frusta * coordinates) {}

    void add(std::size_t knot, Silhouette const& seen, double area) {
        seen.each_rim_point([&](int frustum, double share, double cos_t, double sin_t, Vector3 growth) {
            AtKnots* at = &growth_[static_cast<std::size_t>(frustum) * coordinates];
            for (double const end : {1.0 - share, share})
                for (double const axis : {1.0, cos_t, sin_t})
                    for (double const along : {growth.x, growth.y, growth.z})
                        (*at++)[knot] += end * axis * along / area;
        });
    }

    /// Of ln A, where the slices move like this.
    [[nodiscard]] AtKnots of(std::vector<Frustum> const& moves) const {
        AtKnots sum{};
        AtKnots const* at = growth_.data();
        for (Frustum const& f : moves)
            for (Section const& s : {f.rear, f.front})
                for (Vector3 const& v : {s.centre, s.lateral, s.sagittal})
                    for (double const move : {v.x, v.y, v.z}) {
                        if (move != 0.0)
                            for (std::size_t k = 0; k < knots; ++k) sum[k] += move * (*at)[k];
                        ++at;
                    }
        return sum;
    }

private:
    static constexpr std::size_t coordinates = 18; ///< of the two sections of a frustum
    std::vector<AtKnots> growth_;
};

using Matrix = std::array<AtKnots, knots>;

/// Jacobi's rotations: makes a symmetric matrix diagonal. @return the eigenvectors, as rows
Matrix eigenvectors(Matrix& a) {
    Matrix vectors{};
    double trace = 0.0;
    for (std::size_t i = 0; i < knots; ++i) {
        vectors[i][i] = 1.0;
        trace += a[i][i];
    }
    for (int sweep = 0; sweep < 30; ++sweep) {
        double off = 0.0;
        for (std::size_t p = 0; p < knots; ++p)
            for (std::size_t q = p + 1; q < knots; ++q) {
                off = std::max(off, std::abs(a[p][q]));
                if (a[p][q] == 0.0) continue;
                double const theta = 0.5 * (a[q][q] - a[p][p]) / a[p][q];
                double const t =
                    std::copysign(1.0, theta) / (std::abs(theta) + std::sqrt(theta * theta + 1.0));
                double const c = 1.0 / std::sqrt(t * t + 1.0), s = t * c;
                auto const rotate = [c, s](double& x, double& y) {
                    double const old = x;
                    x = c * old - s * y;
                    y = s * old + c * y;
                };
                for (std::size_t i = 0; i < knots; ++i) rotate(a[i][p], a[i][q]);
                for (std::size_t i = 0; i < knots; ++i) rotate(a[p][i], a[q][i]);
                for (std::size_t i = 0; i < knots; ++i) rotate(vectors[p][i], vectors[q][i]);
            }
        if (off <= 1e-15 * trace) break;
    }
    return vectors;
}

std::vector<double> on_grid(std::vector<double> knots_deg, std::vector<double> values, AreaCurve const& grid,
                            std::size_t size) {
    for (double& knot : knots_deg) knot *= degree;
    double const last = knots_deg.back();
    boost::math::interpolators::makima<std::vector<double>> const curve(std::move(knots_deg),
                                                                        std::move(values));
    std::vector<double> result(size);
    for (std::size_t i = 0; i < size; ++i)
        result[i] = curve(std::min(grid.start + static_cast<double>(i) * grid.step, last));
    return result;
}

} // namespace

ProjectedArea projected_area(PosedBody const& body, int rows) {
    require_rows(rows);
    return ProjectedArea{
        Area::from_value(Silhouette(body.frusta(), {1, 0, 0}, rows, body.symmetric()).area())};
}

Area silhouette(std::vector<Frustum> const& frusta, Vector3 const& direction, int rows) {
    double const length = norm(direction);
    if (!(length > 0.0) || !std::isfinite(length))
        throw InvalidInput("direction", std::to_string(length), "a vector of finite length above zero");
    require_rows(rows);
    return Area::from_value(Silhouette(frusta, direction, rows, false).area());
}

PlanformArea planform_area(PosedBody const& body) {
    Posture const& posture = body.posture();
    Vector3 const back = about_y(about_x({0, 0, 1}, posture.roll.value()), posture.incline.value());
    constexpr int rows = 1024; // across the trunk, where ends of limbs make steps
    return PlanformArea{Area::from_value(Silhouette(body.frusta(), back, rows, body.symmetric()).area())};
}

namespace closed_form {

double ellipsoid_projected_area(double a, double b, double c, double tilt) {
    return pi * b * maths::hypot(c * maths::cos(tilt), a * maths::sin(tilt));
}

double ellipsoid_surface(double a, double b, double c) {
    return 4.0 * pi * maths::carlson_rg(square(a * b), square(a * c), square(b * c));
}

} // namespace closed_form

ProjectedArea AreaCurve::area(Angle theta, std::array<double, max_modes> const& z) const {
    return ProjectedArea{Area::from_value(maths::exp(log_area(theta, z)))};
}

AreaCurve AreaCurve::of(Body const& body, Posture const& posture) {
    constexpr std::size_t size = 121;
    AreaCurve curve;
    curve.step = 0.5 * degree;

    Posture level = posture;
    level.incline = radians(0);
    PosedBody const posed = pose(body, level);
    Sensitivity sensitivity(posed.frusta().size());
    std::vector<double> mean;
    for (double const knot : mean_knots) {
        auto const [sine, cosine] = kernel::sin_cos_2pi(knot / 360.0);
        Vector3 const travel{cosine, 0.0, -sine}; // as the inclined body sees it
        Silhouette const seen(posed.frusta(), travel, default_rows, posed.symmetric());
        double const area = seen.area();
        auto const mode = std::find(mode_knots.begin(), mode_knots.end(), mean.size());
        if (mode != mode_knots.end())
            sensitivity.add(static_cast<std::size_t>(mode - mode_knots.begin()), seen, area);
        mean.push_back(kernel::log(area));
    }
    curve.mean = on_grid({mean_knots.begin(), mean_knots.end()}, std::move(mean), curve, size);

    // Discrete Karhunen-Loeve expansion: each knot weighs as much as the stretch of theta around it.
    AtKnots weight{};
    std::vector<double> knots_deg;
    for (std::size_t k = 0; k < knots; ++k) {
        weight[k] = std::sqrt(0.5 * (mode_knot(std::min(k + 1, knots - 1)) - mode_knot(k == 0 ? 0 : k - 1)));
        knots_deg.push_back(mode_knot(k));
    }
    Matrix covariance{};
    each_deformation(posed, [&](std::size_t dimension, std::vector<Frustum> const& moves) {
        double const sd = body.dimensions()[dimension].sd.value();
        AtKnots const change = sensitivity.of(moves);
        for (std::size_t i = 0; i < knots; ++i)
            for (std::size_t j = 0; j < knots; ++j)
                covariance[i][j] += square(sd) * weight[i] * change[i] * weight[j] * change[j];
    });
    Matrix const vectors = eigenvectors(covariance);
    std::vector<std::pair<double, std::size_t>> ranked; // variance, which; the largest first
    double total = 0.0, kept = 0.0;
    for (std::size_t k = 0; k < knots; ++k) {
        double const variance = std::max(covariance[k][k], 0.0);
        ranked.emplace_back(-variance, k);
        total += variance;
    }
    if (total <= 0.0) return curve;
    std::sort(ranked.begin(), ranked.end());
    for (std::size_t m = 0; m < max_modes; ++m) {
        double const variance = -ranked[m].first;
        AtKnots const& vector = vectors[ranked[m].second];
        std::vector<double> mode;
        double sum = 0.0;
        for (std::size_t k = 0; k < knots; ++k) {
            mode.push_back(std::sqrt(variance) * vector[k] / weight[k]);
            sum += mode.back();
        }
        if (sum < 0.0) // a sign of its own, whatever the solver's
            for (double& x : mode) x = -x;
        curve.modes.push_back(on_grid(knots_deg, std::move(mode), curve, size));
        kept += variance;
    }
    curve.variance_kept = kept / total;
    return curve;
}

} // namespace libdrag
