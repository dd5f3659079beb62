#include <libdrag/drawing.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <utility>

#include <boost/math/interpolators/pchip.hpp>
#include <boost/polygon/polygon.hpp>
#include <fmt/format.h>

#include <libdrag/area.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "maths.hpp"
#include "report_text.hpp"
#include "svg.hpp"
#include "tilt_draw.hpp"
#include "vector3.hpp"

namespace libdrag::drawing {
namespace {

// --- the body in its scene --------------------------------------------------------------------------

void require_possible(Scene const& scene) {
    libdrag::require_possible(scene.swim);
    require("hip drop", scene.drop, radians(0.0), degrees(45.0), "deg");
    require("incline and hip drop", own_incline(scene.swim) + scene.drop, radians(0.0), degrees(60.0), "deg");
}

bool goes_with_the_trunk(Part part, Arms arms) {
    return part == Part::trunk || part == Part::left_leg || part == Part::right_leg
           || (part != Part::head && arms == Arms::at_sides);
}

/// Sections of one part in their order.
struct Chain {
    Part part;
    std::vector<Section> sections;
};

/// How far along its axis each section of a chain is, m.
std::vector<double> places(std::vector<Section> const& sections) {
    std::vector<double> at{0.0};
    for (std::size_t i = 1; i < sections.size(); ++i)
        at.push_back(at.back() + norm(sections[i].centre - sections[i - 1].centre));
    return at;
}

/// The shift of a section towards the back, by its place along a chain; for the look alone.
using Shift = boost::math::interpolators::pchip<std::vector<double>>;

/// @param length of the chain @param stature m
/// Shares of the stature by which a person's middle lies behind (above 0) or before a straight line, by eye.
Shift shift_of(Part part, double length, Body const& body) {
    double const stature = body.stature().value();
    auto const height = [&](char const* name) { return body.dimension(name).value.value(); };
    double const crotch = height("crotch_height");
    std::vector<double> at, shift;
    auto const station = [&](double place, double share) {
        at.push_back(place);
        shift.push_back(share * stature);
    };
    switch (part) {
    case Part::trunk: {
        double const hip = std::max(0.02 * stature, height("hip_height") - crotch);
        double const waist = height("waist_height") - crotch, chest = height("chest_height") - crotch;
        station(0.0, 0.006);
        station(hip + 0.015 * stature, 0.007);
        station(waist, -0.006);
        station(chest, -0.004);
        station(length, 0.004);
        break;
    }
    case Part::left_leg:
    case Part::right_leg: {
        double const knee = crotch - height("knee_height"), ankle = crotch - height("ankle_height");
        station(0.0, 0.006);
        station(0.5 * knee, -0.002);
        station(knee, 0.0);
        station(knee + 0.3 * (ankle - knee), 0.007);
        station(ankle, 0.002);
        station(length, 0.0);
        break;
    }
    case Part::head:
        station(0.0, 0.004);
        station(0.25 * length, 0.004);
        station(0.6 * length, -0.004);
        station(length, -0.004);
        break;
    case Part::left_arm:
    case Part::right_arm:
        station(0.0, 0.0);
        station(0.3 * length, 0.0);
        station(0.6 * length, 0.0);
        station(length, 0.0);
        break;
    }
    return {std::move(at), std::move(shift)};
}

void shift_towards_the_back(Chain& chain, Body const& body) {
    bool const leg = chain.part == Part::left_leg || chain.part == Part::right_leg;
    std::vector<double> const at = places(chain.sections);
    Shift const shift = shift_of(chain.part, at.back(), body);
    Vector3 back{0, 0, leg ? -1.0 : 1.0}; // where a half-axis is none, that of the section before
    for (std::size_t i = 0; i < at.size(); ++i) {
        Section& s = chain.sections[i];
        if (double const size = norm(s.sagittal); size > 1e-6) back = (1.0 / size) * s.sagittal;
        s.centre = s.centre + ((leg ? -1.0 : 1.0) * shift(std::min(at[i], at.back()))) * back;
    }
}

/// Sections between those of the body, by a cubic through four neighbours (Catmull & Rom 1974), which rounds the bends
/// of the joints.
void refine(Chain& chain, int pieces) {
    std::vector<Section> const& s = chain.sections;
    std::vector<Section> fine{s.front()};
    auto const last = s.size() - 1;
    for (std::size_t i = 0; i < last; ++i) {
        Section const &a = s[i == 0 ? 0 : i - 1], &b = s[i], &c = s[i + 1], &d = s[std::min(i + 2, last)];
        for (int k = 1; k <= pieces; ++k) {
            double const t = static_cast<double>(k) / pieces;
            double const wa = 0.5 * t * (t * (2.0 - t) - 1.0), wb = 0.5 * (t * t * (3.0 * t - 5.0) + 2.0);
            double const wc = 0.5 * t * (t * (4.0 - 3.0 * t) + 1.0), wd = 0.5 * t * t * (t - 1.0);
            auto const blend = [&](Vector3 Section::*v) {
                return wa * (a.*v) + wb * (b.*v) + wc * (c.*v) + wd * (d.*v);
            };
            fine.push_back({blend(&Section::centre), blend(&Section::lateral), blend(&Section::sagittal)});
        }
    }
    chain.sections = std::move(fine);
}

struct Scenery {
    std::vector<Chain> chains;
    std::array<Vector3, 6> landmarks; ///< head, shoulder, hip, knee, ankle, toes
    double water;                     ///< height of the water line
};

/// A point along a chain.
Vector3 along(Chain const& chain, double place) {
    std::vector<double> const at = places(chain.sections);
    std::size_t i = 1;
    while (i + 1 < at.size() && at[i] < place) ++i;
    double const share = (place - at[i - 1]) / (at[i] - at[i - 1]);
    return mix(chain.sections[i - 1].centre, chain.sections[i].centre, std::clamp(share, 0.0, 1.0));
}

std::vector<Chain> chains_of(std::vector<Frustum> const& frusta) {
    std::vector<Chain> chains;
    for (Frustum const& f : frusta) {
        if (chains.empty() || chains.back().part != f.part) chains.push_back({f.part, {f.rear}});
        chains.back().sections.push_back(f.front);
    }
    return chains;
}

double top(Section const& s) { return s.centre.z + maths::hypot(s.lateral.z, s.sagittal.z); }

Scenery scenery(Scene const& scene, View view) {
    require_possible(scene);
    Body const& body = scene.swim.body;
    Posture posture = scene.joints.value_or(usual_joints(scene.swim));
    posture.incline = own_incline(scene.swim);
    bool const on_the_back = std::abs(posture.roll.value()) > 0.5 * pi;
    posture.head_lift = posture.head_lift + (on_the_back ? -scene.lift : scene.lift);
    PosedBody const posed = pose(body, posture);
    Scenery out{chains_of(posed.frusta()), {}, 0.0};

    Vector3 const shoulder = about_y({body.shoulder_hip().value(), 0, 0}, posture.incline.value());
    double const drop = scene.drop.value();
    auto const lowered = [&](Vector3 p) { return shoulder + about_y(p - shoulder, drop); };
    double const crotch = body.dimension("crotch_height").value.value();
    double const knee = crotch - body.dimension("knee_height").value.value();
    double const ankle = crotch - body.dimension("ankle_height").value.value();
    for (Chain& chain : out.chains) {
        if (view == View::side) {
            shift_towards_the_back(chain, body);
            refine(chain, 3);
        }
        if (chain.part == Part::trunk)
            for (Section const& s : chain.sections) out.water = std::max(out.water, top(s));
        if (!goes_with_the_trunk(chain.part, posture.arms)) continue;
        for (Section& s : chain.sections)
            s = {lowered(s.centre), about_y(s.lateral, drop), about_y(s.sagittal, drop)};
    }
    out.water = std::max(out.water, scene.swim.depth.value());

    // The body's axis, both legs in one.
    std::vector<Chain> const straight = chains_of(posed.frusta());
    auto const of = [&](Part part) {
        return *std::find_if(straight.begin(), straight.end(),
                             [&](Chain const& c) { return c.part == part; });
    };
    Chain const left = of(Part::left_leg), right = of(Part::right_leg), head = of(Part::head);
    auto const middle = [&](double place) {
        return lowered(mix(along(left, place), along(right, place), 0.5));
    };
    out.landmarks = {
        head.sections.back().centre, shoulder, lowered({0, 0, 0}), middle(knee), middle(ankle), middle(1e3)};
    return out;
}

// --- outlines ---------------------------------------------------------------------------------------

/// Whole numbers of a hundredth of a millimetre: on them the union of polygons is exact.
constexpr double per_metre = 1e5;
constexpr std::size_t directions = 64; ///< an ellipse of so many corners is smaller by 0.16 %
constexpr double least_ring = 2e-4;    ///< m2; smaller holes are slivers between parts that touch
constexpr double flatness = 2e-4;      ///< m; corners that stand out less are left out

using Whole = boost::polygon::point_data<int>;
using Union = boost::polygon::polygon_set_data<int>;

Point seen(Vector3 p, View view) { return view == View::side ? Point{p.x, p.z} : Point{p.y, p.z}; }

/// A section as it is seen: the farthest point of its rim in each direction, and how far it reaches there, m.
struct Rim {
    std::array<Whole, directions> corner;
    std::array<double, directions> reach;
};

Rim rim(Section const& section, View view) {
    static auto const all = [] {
        std::array<Point, directions> points{};
        for (std::size_t i = 0; i < directions; ++i) {
            // Half a step off the axes, where a section seen edge-on has no farthest point of its own.
            auto const [sine, cosine] = kernel::sin_cos_2pi((static_cast<double>(i) + 0.5) / directions);
            points[i] = {cosine, sine};
        }
        return points;
    }();
    Point const centre = seen(section.centre, view);
    Point const a = seen(section.lateral, view), b = seen(section.sagittal, view);
    Rim out;
    for (std::size_t k = 0; k < directions; ++k) {
        Point const d = all[k];
        double const along_a = a.x * d.x + a.y * d.y, along_b = b.x * d.x + b.y * d.y;
        double const size = maths::hypot(along_a, along_b);
        double const ca = size > 0.0 ? along_a / size : 0.0, cb = size > 0.0 ? along_b / size : 0.0;
        out.reach[k] = centre.x * d.x + centre.y * d.y + size;
        out.corner[k] = {static_cast<int>(std::lround(per_metre * (centre.x + ca * a.x + cb * b.x))),
                         static_cast<int>(std::lround(per_metre * (centre.y + ca * a.y + cb * b.y)))};
    }
    return out;
}

/// Whether the way from a by b to c does.
bool turns_left(Whole a, Whole b, Whole c) {
    auto const along = [](Whole from, Whole to) {
        return std::pair<std::int64_t, std::int64_t>(to.x() - from.x(), to.y() - from.y());
    };
    auto const one = along(a, b), two = along(b, c);
    return one.first * two.second > one.second * two.first;
}

/// Adds what is seen of slices, each the convex outline of two sections that follow each other. A point within n slices
/// in a row lies within at most n - 1 of the sections between them: all outlines less all sections between go round
/// it at least once, and round no point outside. Of most sections nothing is left then, so that there is little to unite.
void add_slices(Union& all, std::vector<Rim> const& rims) {
    auto const edge = [&](Whole from, Whole to, int times) {
        // Boost.Polygon has vertical edges the other way round.
        if (times != 0 && from != to) all.insert({{from, to}, from.x() == to.x() ? -times : times});
    };
    std::vector<std::array<int, directions>> times(rims.size()); // of the edge from each corner to the next
    for (std::size_t i = 1; i + 1 < rims.size(); ++i) times[i].fill(-1);
    for (std::size_t i = 1; i < rims.size(); ++i) {
        auto const farther = [&](std::size_t k) {
            return rims[i].reach[k] > rims[i - 1].reach[k] ? i : i - 1;
        };
        for (std::size_t k = 0; k < directions; ++k) {
            std::size_t const next = (k + 1) % directions, a = farther(k), b = farther(next);
            if (a == b) {
                ++times[a][k];
                continue;
            }
            // From one section to the other, by their other corners where those stand out.
            Whole from = rims[a].corner[k], to = rims[b].corner[next];
            if (turns_left(from, rims[a].corner[next], to)) {
                from = rims[a].corner[next];
                ++times[a][k];
            }
            if (turns_left(from, rims[b].corner[k], to)) {
                to = rims[b].corner[k];
                ++times[b][k];
            }
            edge(from, to, 1);
        }
    }
    for (std::size_t i = 0; i < rims.size(); ++i)
        for (std::size_t k = 0; k < directions; ++k)
            edge(rims[i].corner[k], rims[i].corner[(k + 1) % directions], times[i][k]);
}

double signed_area(Ring const& ring) {
    double sum = 0.0;
    for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++)
        sum += ring[j].x * ring[i].y - ring[i].x * ring[j].y;
    return 0.5 * sum;
}

double distance(Point p, Point a, Point b) {
    double const length = maths::hypot(b.x - a.x, b.y - a.y);
    if (length == 0.0) return maths::hypot(p.x - a.x, p.y - a.y);
    return std::abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / length;
}
/// The corners between two that are kept, without those that stand out by less than `flatness` (Ramer 1972).
void keep_corners(Ring const& ring, std::size_t from, std::size_t to, Ring& kept) {
    double most = flatness;
    std::size_t at = from;
    for (std::size_t i = from + 1; i < to; ++i)
        if (double const d = distance(ring[i], ring[from], ring[to]); d > most) {
            most = d;
            at = i;
        }
    if (at == from) return kept.push_back(ring[to]);
    keep_corners(ring, from, at, kept);
    keep_corners(ring, at, to, kept);
}
Ring simplified(Ring ring) {
    auto const before = [](Point a, Point b) { return a.x < b.x; };
    std::rotate(ring.begin(), std::min_element(ring.begin(), ring.end(), before), ring.end());
    ring.push_back(ring.front());
    auto const far =
        static_cast<std::size_t>(std::max_element(ring.begin(), ring.end(), before) - ring.begin());
    Ring kept;
    keep_corners(ring, 0, far, kept);
    keep_corners(ring, far, ring.size() - 1, kept);
    return kept;
}

/// Evenly spaced corners. @param step m, about
Ring resampled(Ring const& ring, double step) {
    Ring out;
    double length = 0.0;
    auto const edge = [&](std::size_t i) {
        Point const a = ring[i], b = ring[(i + 1) % ring.size()];
        return maths::hypot(b.x - a.x, b.y - a.y);
    };
    for (std::size_t i = 0; i < ring.size(); ++i) length += edge(i);
    auto const n = static_cast<std::size_t>(std::max(8.0, std::round(length / step)));
    std::size_t i = 0;
    double before = 0.0;
    for (std::size_t k = 0; k < n; ++k) {
        double const at = length * static_cast<double>(k) / static_cast<double>(n);
        while (i + 1 < ring.size() && before + edge(i) <= at) before += edge(i++);
        double const share = std::min(1.0, (at - before) / edge(i));
        Point const a = ring[i], b = ring[(i + 1) % ring.size()];
        out.push_back({a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)});
    }
    return out;
}

/// As skin goes round a body: where the outline turns inwards more sharply than a circle of some 12 cm, as between
/// parts, it moves half-way to the middle of its neighbours again and again; then edges of the parts' ends are rounded.
Ring skinned(Ring const& ring) {
    constexpr double step = 0.005, sharp = 0.04; // m; rad a step
    constexpr int fillings = 200, roundings = 6;
    Ring now = resampled(ring, step), next = now;
    std::size_t const n = now.size();
    for (int pass = 0; pass < fillings + roundings; ++pass) {
        for (std::size_t i = 0; i < n; ++i) {
            Point const a = now[(i + n - 1) % n], b = now[i], c = now[(i + 1) % n];
            double const turn = (b.x - a.x) * (c.y - b.y) - (b.y - a.y) * (c.x - b.x);
            bool const inwards = turn < -sharp * step * step;
            next[i] = inwards || pass >= fillings
                          ? Point{0.25 * (a.x + c.x) + 0.5 * b.x, 0.25 * (a.y + c.y) + 0.5 * b.y}
                          : b;
        }
        std::swap(now, next);
    }
    return now;
}

/// What slopes from the shoulders to the neck, where the sections of trunk and head end apart.
std::vector<Section> nape(std::vector<Chain> const& chains) {
    constexpr double up_the_neck = 0.03; // m
    auto const of = [&](Part part) -> std::vector<Section> const& {
        return std::find_if(chains.begin(), chains.end(), [&](Chain const& c) { return c.part == part; })
            ->sections;
    };
    std::vector<Section> const &trunk = of(Part::trunk), &head = of(Part::head);
    std::size_t i = 1;
    while (i + 1 < head.size() && norm(head[i].centre - head[0].centre) < up_the_neck) ++i;
    return {trunk.back(), head[i]};
}

std::vector<Ring> outline_of(std::vector<Chain> const& chains, View view) {
    namespace bp = boost::polygon;
    Union all;
    auto const add_chain = [&](std::vector<Section> const& sections) {
        std::vector<Rim> rims;
        for (Section const& section : sections) rims.push_back(rim(section, view));
        add_slices(all, rims);
    };
    for (Chain const& chain : chains) add_chain(chain.sections);
    if (view == View::side) add_chain(nape(chains));
    std::vector<bp::polygon_with_holes_data<int>> merged;
    all.get(merged);
    std::vector<Ring> rings;
    auto const add = [&](auto const& corners, double sign) {
        Ring ring;
        for (auto const& p : corners) ring.push_back({p.x() / per_metre, p.y() / per_metre});
        if (ring.size() > 1 && ring.front().x == ring.back().x && ring.front().y == ring.back().y)
            ring.pop_back();
        if (ring.size() < 3 || std::abs(signed_area(ring)) < least_ring) return;
        if (sign * signed_area(ring) < 0.0) std::reverse(ring.begin(), ring.end());
        rings.push_back(simplified(view == View::side ? skinned(ring) : std::move(ring)));
    };
    for (auto const& polygon : merged) {
        add(polygon, 1.0);
        for (auto hole = polygon.begin_holes(); hole != polygon.end_holes(); ++hole) add(*hole, -1.0);
    }
    return rings;
}

} // namespace

Posture usual_joints(Swim const& swim) {
    Posture joints = swim.posture;
    if (!joints.same_joints(Posture{})) return joints;
    switch (swim.stroke) {
    case Stroke::crawl: joints.arms = Arms::mid_stroke; break;
    case Stroke::fly: joints.arms = Arms::at_sides; break;
    case Stroke::back:
        joints.roll = degrees(180.0);
        joints.arm_angle = -own_incline(swim); // along the surface
        break;
    case Stroke::breast:
        joints.arm_angle = degrees(15.0);
        joints.arm_spread = degrees(30.0);
        break;
    }
    return joints;
}

Scene level(Scene scene) {
    scene.drop = scene.lift = radians(0.0);
    return scene;
}

Figure figure(Scene const& scene, View view) {
    Scenery const s = scenery(scene, view);
    Point const origin = seen(s.landmarks[1], view);
    auto const placed = [&](Point p) { return Point{p.x - origin.x, p.y - s.water}; };
    Figure out{outline_of(s.chains, view), {}, {}};
    double area = 0.0;
    for (Ring& ring : out.outline) {
        area += signed_area(ring);
        for (Point& p : ring) p = placed(p);
    }
    out.area = Area::from_value(area);
    auto const point = [&](std::size_t i) { return placed(seen(s.landmarks[i], view)); };
    out.landmarks = {point(0), point(1), point(2), point(3), point(4), point(5)};
    return out;
}

Estimate extra_drag(Scene const& scene, Options const& options) {
    require_possible(scene);
    Swim const& swim = scene.swim;
    TiltTable const table(TiltShape::of(swim.body, swim.posture));
    Unknowns unknowns;
    std::size_t const incline = unknowns.add(unknown::incline(swim));
    TiltUnknowns const tilt = TiltUnknowns::add_to(unknowns, swim.tilt_model, swim.coefficients);
    double const drop = scene.drop.value();
    auto const ratio = [&](double const* in, double* out) {
        kernel::TiltDraw const draw = kernel::tilt_draw(table, tilt, [&](std::size_t j) { return in[j]; });
        *out = kernel::tilt_ratio(draw, kernel::tilt_state(table, draw, in[incline]),
                                  kernel::tilt_state(table, draw, in[incline] + drop))
               - 1.0;
    };
    return propagate(unknowns, 1, per_draw(ratio), options).estimate(0);
}

// --- pictures ---------------------------------------------------------------------------------------

namespace {

constexpr double width = 480.0, margin = 12.0; ///< units of the viewBox; on a phone 4 of them are 3 pixels
constexpr double heading = 20.0, print = 17.0, line_height = 1.35 * print;

std::string degrees_words(Angle a) { return report::number(in_degrees(a)) + " deg"; }
std::string centimetres_words(Scene const& scene) {
    return report::number(100.0 * scene.swim.body.shoulder_hip().value() * maths::sin(scene.drop.value()))
           + " cm";
}
std::string more(double fraction) { return (fraction < 0.0 ? "" : "+") + report::percent(fraction); }
std::string range(Estimate const& e) {
    return report::number(100.0 * e.low) + " to " + report::percent(e.high);
}
std::string square_metres(Area a) { return fmt::format("{:.3f} m2", a.value()); }

/// "hips 4 deg lower, head 20 deg higher"; "level" without either.
std::string fault_words(Scene const& scene) {
    std::string words;
    if (scene.drop.value() > 0.0) words = "hips " + degrees_words(scene.drop) + " lower";
    if (scene.lift.value() > 0.0)
        words += (words.empty() ? "" : ", ") + ("head " + degrees_words(scene.lift) + " higher");
    return words.empty() ? "level" : words;
}
bool has_fault(Scene const& scene) { return scene.drop.value() > 0.0 || scene.lift.value() > 0.0; }

struct Box {
    double left = 1e9, right = -1e9, bottom = 1e9, top = -1e9;
    void hold(Figure const& f) {
        for (Ring const& ring : f.outline)
            for (Point const& p : ring) {
                left = std::min(left, p.x);
                right = std::max(right, p.x);
                bottom = std::min(bottom, p.y);
                top = std::max(top, p.y);
            }
    }
};

/// Metres to units of a picture.
struct Frame {
    double scale, x, y; ///< units a metre; where the shoulders and the water line are
    [[nodiscard]] Point at(Point p) const { return {x + scale * p.x, y - scale * p.y}; }
};

std::string path_of(std::vector<Ring> const& rings, Frame const& frame) {
    std::string out;
    for (Ring const& ring : rings) {
        // Steps from rounded point to rounded point, so that their errors do not add up.
        auto const tenths = [&](Point p) {
            Point const q = frame.at(p);
            return std::pair(std::lround(10.0 * q.x), std::lround(10.0 * q.y));
        };
        auto from = tenths(ring.front());
        out += fmt::format("M{} {}l", svg::number(0.1 * static_cast<double>(from.first)),
                           svg::number(0.1 * static_cast<double>(from.second)));
        for (std::size_t i = 1; i < ring.size(); ++i) {
            auto const to = tenths(ring[i]);
            if (to == from) continue;
            out += fmt::format("{} {} ", svg::number(0.1 * static_cast<double>(to.first - from.first)),
                               svg::number(0.1 * static_cast<double>(to.second - from.second)));
            from = to;
        }
        out.back() = 'z';
    }
    return out;
}

/// Level and low from the side, and the frame in which both are drawn.
struct Sides {
    Figure level, low;
    Box box;
    Frame frame;
    double height;

    explicit Sides(Scene const& scene)
        : level(figure(drawing::level(scene), View::side)),
          low(has_fault(scene) ? figure(scene, View::side) : level) {
        box.hold(level);
        box.hold(low);
        double const scale = (width - 2.0 * margin) / (box.right - box.left);
        constexpr double air = heading + 3.0 * margin, bar = 3.0 * margin;
        frame = {scale, margin - scale * box.left, std::max(air, scale * box.top + heading + 2.0 * margin)};
        height = frame.y - scale * box.bottom + bar;
    }
};

/// In the lower right corner of what ends at `bottom`.
void add_scale_bar(svg::Picture& picture, double bottom, double scale) {
    constexpr double metres = 0.5, words = 60.0;
    double const x = width - words - metres * scale, y = bottom - margin;
    picture.line(x, y, x + metres * scale, y, svg::mark::heavy);
    picture.text(width - words + 6.0, y + 0.35 * print, "0.5 m", {print});
}

/// One body in the water from the side.
void add_side(svg::Picture& picture, double top, Sides const& sides, Scene const& scene) {
    bool const low = has_fault(scene);
    Frame frame = sides.frame;
    frame.y += top;
    picture.rectangle(0.0, frame.y, width, sides.height - sides.frame.y, svg::mark::water);
    picture.line(0.0, frame.y, width, frame.y, svg::mark::line);
    picture.path(path_of((low ? sides.low : sides.level).outline, frame),
                 low ? svg::mark::low : svg::mark::level);
    if (low) picture.path(path_of(sides.level.outline, frame), svg::mark::ghost);
    Landmarks const &level_at = sides.level.landmarks, &at = (low ? sides.low : sides.level).landmarks;
    Point const shoulder = frame.at(at.shoulder), hip = frame.at(at.hip);
    if (scene.drop.value() > 0.0) {
        // Both trunk lines, on to where the angle between them is wide enough to be seen.
        double const reach = maths::hypot(at.toes.x - at.shoulder.x, at.toes.y - at.shoulder.y);
        auto const end = [&](Point toward) {
            double const far = maths::hypot(toward.x - at.shoulder.x, toward.y - at.shoulder.y);
            double const share = 0.86 * reach / far;
            return frame.at({at.shoulder.x + share * (toward.x - at.shoulder.x),
                             at.shoulder.y + share * (toward.y - at.shoulder.y)});
        };
        Point const up = end(level_at.hip), down = end(at.hip);
        picture.line(shoulder.x, shoulder.y, up.x, up.y, svg::mark::ghost);
        picture.line(shoulder.x, shoulder.y, down.x, down.y, svg::mark::trunk);
        double const radius = maths::hypot(up.x - shoulder.x, up.y - shoulder.y);
        picture.path(fmt::format("M{} {}A{} {} 0 0 0 {} {}", svg::number(up.x), svg::number(up.y),
                                 svg::number(radius), svg::number(radius), svg::number(down.x),
                                 svg::number(down.y)),
                     svg::mark::line);
        picture.text(down.x, frame.at(at.toes).y + 1.6 * print, degrees_words(scene.drop),
                     {print, svg::Picture::Anchor::middle, true});
    } else {
        picture.line(shoulder.x, shoulder.y, hip.x, hip.y, svg::mark::trunk);
    }
    picture.circle(shoulder.x, shoulder.y, 4.0, svg::mark::joint);
    picture.circle(hip.x, hip.y, 4.0, svg::mark::joint);
    std::string const words =
        low ? fault_words(scene) : "hips up: trunk at " + degrees_words(own_incline(scene.swim));
    picture.text(margin, top + margin + 0.75 * heading, words, {heading, svg::Picture::Anchor::start, true});
}

std::string shown_name(Scene const& scene) {
    return scene.swim.name.empty() ? "A swimmer" : printable(scene.swim.name);
}
std::string side_description(Scene const& scene) {
    std::string words = shown_name(scene) + " from the side, swimming to the right, the trunk at "
                        + degrees_words(own_incline(scene.swim)) + " to the water line";
    if (scene.drop.value() > 0.0)
        words += "; with the fault the hips are " + degrees_words(scene.drop) + " ("
                 + centimetres_words(scene) + ") lower while shoulders and arms stay";
    if (scene.lift.value() > 0.0) words += "; the head is " + degrees_words(scene.lift) + " higher";
    return words + ". To scale; the dashed line is the body without the fault.";
}

} // namespace

namespace {

std::string side(Scene const& scene, Sides const& sides) {
    svg::Picture picture(width, sides.height, shown_name(scene) + " from the side: " + fault_words(scene),
                         side_description(scene));
    add_side(picture, 0.0, sides, scene);
    add_scale_bar(picture, sides.height, sides.frame.scale);
    return picture.str();
}

/// Where all of it stands in a picture of so many units a metre.
struct FrontPanel {
    Fronts const& bodies;
    double scale;
    Box box;
    double water, prints, height; ///< `prints`: where the areas stand

    FrontPanel(Scene const& scene, Fronts const& fronts, double units_a_metre)
        : bodies(fronts), scale(units_a_metre) {
        box.hold(fronts.level);
        box.hold(fronts.low);
        water = std::max(0.0, scale * box.top) + heading + 2.0 * margin;
        prints = water - scale * box.bottom + line_height;
        double const lines = !has_fault(scene) ? 0.0 : scene.drag_in_race ? 3.0 : 2.0;
        height = prints + margin + lines * line_height;
    }
};

/// What the area means in drag, which it does not say by itself.
std::vector<std::string> front_words(Fronts const& f, Scene const& scene) {
    if (!has_fault(scene)) return {};
    std::vector<std::string> words{
        more(f.more_area()) + " area at the lowest means",
        more(f.drag.median) + (scene.lift.value() > 0.0 ? " drag by the hips (range " : " drag then (range ")
            + range(f.drag) + ")"};
    if (scene.drag_in_race)
        words.push_back(more(scene.drag_in_race->median) + " over the race (" + range(*scene.drag_in_race)
                        + ")");
    return words;
}

void add_front(svg::Picture& picture, double top, FrontPanel const& f, Scene const& scene) {
    using Anchor = svg::Picture::Anchor;
    double const water = top + f.water;
    picture.rectangle(0.0, water, width, top + f.height - water, svg::mark::water);
    picture.line(0.0, water, width, water, svg::mark::line);
    picture.text(margin, top + margin + 0.75 * heading, "from the front", {heading, Anchor::start, true});
    auto const body = [&](double middle, Figure const& figure, std::string_view mark) {
        Frame const frame{f.scale, middle - 0.5 * f.scale * (f.box.left + f.box.right), water};
        picture.path(path_of(figure.outline, frame), mark);
        if (mark == svg::mark::low) picture.path(path_of(f.bodies.level.outline, frame), svg::mark::ghost);
        picture.text(middle, top + f.prints, square_metres(figure.area), {print, Anchor::middle});
    };
    body((has_fault(scene) ? 0.27 : 0.5) * width, f.bodies.level, svg::mark::level);
    if (has_fault(scene)) body(0.73 * width, f.bodies.low, svg::mark::low);
    double y = top + f.prints;
    for (std::string const& words : front_words(f.bodies, scene))
        picture.text(0.5 * width, y += line_height, words, {print, Anchor::middle, true});
}

std::string front_description(Fronts const& f, Scene const& scene) {
    std::string words = shown_name(scene) + " from the front: level " + square_metres(f.level.area);
    if (!has_fault(scene)) return words + " meet the water. To scale.";
    words += ", with the " + fault_words(scene) + " " + square_metres(f.low.area) + ", " + more(f.more_area())
             + ". Drag does not grow as the area does: at the lowest, by the hips, " + more(f.drag.median)
             + " (" + fmt::format("{:.3g}", 100.0 * f.drag.level) + " % range " + range(f.drag) + ")";
    if (scene.drag_in_race)
        words +=
            ", over the race " + more(scene.drag_in_race->median) + " (" + range(*scene.drag_in_race) + ")";
    return words + ". To scale.";
}

std::string front(Scene const& scene, Fronts const& fronts) {
    constexpr double scale = 210.0;
    FrontPanel const panel(scene, fronts, scale);
    svg::Picture picture(width, panel.height, shown_name(scene) + " from the front: " + fault_words(scene),
                         front_description(fronts, scene));
    add_front(picture, 0.0, panel, scene);
    add_scale_bar(picture, panel.water - 4.0, scale);
    return picture.str();
}

std::string level_and_low(Scene const& scene, Sides const& sides, Fronts const& fronts) {
    FrontPanel const panel(scene, fronts, sides.frame.scale);
    bool const fault = has_fault(scene);
    double const second = fault ? sides.height : 0.0, third = second + sides.height;
    svg::Picture picture(width, third + panel.height,
                         shown_name(scene) + ": level, and " + fault_words(scene),
                         side_description(scene) + " " + front_description(fronts, scene));
    add_side(picture, 0.0, sides, level(scene));
    if (fault) add_side(picture, second, sides, scene);
    add_front(picture, third, panel, scene);
    add_scale_bar(picture, third, sides.frame.scale);
    return picture.str();
}

Landmarks in_picture(Landmarks const& at, Frame const& frame) {
    return {frame.at(at.head), frame.at(at.shoulder), frame.at(at.hip),
            frame.at(at.knee), frame.at(at.ankle),    frame.at(at.toes)};
}

} // namespace

Fronts fronts(Scene const& scene, Options const& options) {
    Figure const level = figure(drawing::level(scene), View::front);
    if (!has_fault(scene)) return {level, level, {0.0, 0.0, 0.0, options.level}};
    return {level, figure(scene, View::front), extra_drag(scene, options)};
}

std::string side(Scene const& scene) { return side(scene, Sides(scene)); }
std::string front(Scene const& scene, Options const& options) { return front(scene, fronts(scene, options)); }
std::string level_and_low(Scene const& scene, Fronts const& fronts) {
    return level_and_low(scene, Sides(scene), fronts);
}
std::string level_and_low(Scene const& scene, Options const& options) {
    return level_and_low(scene, fronts(scene, options));
}

Pictures pictures(Scene const& scene, Options const& options) {
    Sides const sides(scene);
    Fronts const fronts = drawing::fronts(scene, options);
    return {side(scene, sides), front(scene, fronts), level_and_low(scene, sides, fronts),
            in_picture(sides.level.landmarks, sides.frame), in_picture(sides.low.landmarks, sides.frame)};
}

} // namespace libdrag::drawing
