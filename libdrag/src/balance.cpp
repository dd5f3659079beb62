#include <libdrag/balance.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>
#include <utility>

#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/roots.hpp>

#include <libdrag/added_mass.hpp>
#include <libdrag/area.hpp>
#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/motion.hpp>

#include "tables.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

constexpr double litre = 1e-3; // m3
constexpr double g = standard_gravity().value();

/// Mean of women's and men's value where sex is not given.
template <class F> double by_sex(Sex sex, F const& value) {
    switch (sex) {
    case Sex::female: return value(Sex::female);
    case Sex::male: return value(Sex::male);
    case Sex::average: break;
    }
    return 0.5 * (value(Sex::female) + value(Sex::male));
}

double fat_percent(Body const& body, Composition const& composition, Coefficients const& c) {
    if (composition.fat_percent) return require("fat", *composition.fat_percent, 3.0, 60.0, "");
    return by_sex(body.sex(), [&](Sex sex) {
        return c.value(sex == Sex::male ? "balance.fat.men" : "balance.fat.women");
    });
}

double age_years(Composition const& composition, Coefficients const& c) {
    return require("age", composition.age_years.value_or(c.value("balance.age")), 5.0, 100.0, "");
}

/// Gas in the lungs, and the SD of it.
Uncertain lung_gas_m3(Body const& body, Composition const& composition, Coefficients const& c) {
    if (auto const* volume = std::get_if<Volume>(&composition.lungs)) {
        require("lungs", *volume, Volume::from_value(0.0), Volume::from_value(12.0 * litre), "L");
        return {volume->value(), c.sd("balance.lungs_stated") * litre};
    }
    LungVolumes const lungs = lung_volumes(body, age_years(composition, c), c);
    auto const sd = [&](char const* men, char const* women) {
        return litre * by_sex(body.sex(), [&](Sex sex) { return c.sd(sex == Sex::male ? men : women); });
    };
    double const total_sd = sd("balance.lungs.men.tlc.offset", "balance.lungs.women.tlc.offset"),
                 residual_sd = sd("balance.lungs.men.rv.offset", "balance.lungs.women.rv.offset");
    switch (std::get<Lungs>(composition.lungs)) {
    case Lungs::full: return {lungs.total.value(), total_sd};
    case Lungs::empty: return {lungs.residual.value(), residual_sd};
    case Lungs::mid: break;
    }
    return {0.5 * (lungs.total.value() + lungs.residual.value()), 0.5 * std::hypot(total_sd, residual_sd)};
}

// --- segments ---------------------------------------------------------------------------------------

/// Parts of the body that share out one published mass. Thighs and lower trunk are one: the source parts
/// them in an oblique plane through the hip, the solid at the crotch.
enum class Segment {
    head,
    upper_trunk,
    middle_trunk,
    pelvis_and_thighs,
    shank,
    foot,
    upper_arm,
    forearm,
    hand
};
constexpr std::size_t segment_count = 9;

double mass_fraction(Sex sex, std::string_view segment) {
    std::string_view const wanted = sex == Sex::female ? "female" : "male";
    for (auto const& row : tables::de_leva)
        if (row.sex == wanted && row.segment == segment) return row.mass_fraction;
    throw UnknownKey("body segment", segment, "");
}

double length_over_stature(Sex sex, std::string_view segment) {
    std::string_view const wanted = sex == Sex::female ? "female" : "male";
    for (auto const& row : tables::de_leva)
        if (row.sex == wanted && row.segment == segment) return row.length_over_stature;
    throw UnknownKey("body segment", segment, "");
}

/// Shares of the body's mass, both sides together; the sum is 1 (the source's women sum to 0.9999).
std::array<double, segment_count> mass_shares(Sex sex) {
    auto const fraction = [&](std::string_view name) {
        return by_sex(sex, [&](Sex s) { return mass_fraction(s, name); });
    };
    std::array<double, segment_count> shares{fraction("Head"),
                                             fraction("Upper trunk"),
                                             fraction("Middle trunk"),
                                             fraction("Lower trunk") + 2.0 * fraction("Thigh"),
                                             2.0 * fraction("Shank"),
                                             2.0 * fraction("Foot"),
                                             2.0 * fraction("Upper arm"),
                                             2.0 * fraction("Forearm"),
                                             2.0 * fraction("Hand")};
    double sum = 0.0;
    for (double share : shares) sum += share;
    for (double& share : shares) share /= sum;
    return shares;
}

Vector3 mix(Vector3 a, Vector3 b, double share) { return a + share * (b - a); }
Section between(Frustum const& f, double share) {
    return {mix(f.rear.centre, f.front.centre, share), mix(f.rear.lateral, f.front.lateral, share),
            mix(f.rear.sagittal, f.front.sagittal, share)};
}

Vector3 centroid(Frustum const& f) {
    Vector3 const middle = mix(f.rear.centre, f.front.centre, 0.5);
    double const v = volume(f);
    return v > 0.0 ? (1.0 / v) * first_moment(f) : middle;
}

void scale_sections(Frustum& f, double scale) {
    for (Section* s : {&f.rear, &f.front}) {
        s->lateral = scale * s->lateral;
        s->sagittal = scale * s->sagittal;
    }
}

Frustum turned(Frustum f, double angle) {
    for (Section* s : {&f.rear, &f.front})
        *s = {about_y(s->centre, angle), about_y(s->lateral, angle), about_y(s->sagittal, angle)};
    return f;
}

std::vector<Frustum> turned(std::vector<Slice> const& slices, double angle) {
    std::vector<Frustum> out;
    out.reserve(slices.size());
    for (Slice const& slice : slices) out.push_back(turned(slice.shape, angle));
    return out;
}

/// Lowest point of a body, and the highest.
std::pair<double, double> vertical_extent(std::vector<Frustum> const& frusta) {
    double low = std::numeric_limits<double>::infinity(), high = -low;
    for (Frustum const& f : frusta)
        for (Section const& s : {f.rear, f.front}) {
            double const reach = std::hypot(s.lateral.z, s.sagittal.z);
            low = std::min(low, s.centre.z - reach);
            high = std::max(high, s.centre.z + reach);
        }
    return {low, high};
}

// --- hydrostatics of one frustum --------------------------------------------------------------------

/// Integrals over the part xi < d of the unit disc.
struct DiscPart {
    double area, xi, xi2, eta2;
};
DiscPart disc_part(double d) {
    if (d >= 1.0) return {pi, 0.0, 0.25 * pi, 0.25 * pi};
    if (d <= -1.0) return {0.0, 0.0, 0.0, 0.0};
    double const e = std::sqrt((1.0 - d) * (1.0 + d)), angle = 0.5 * pi + std::asin(d);
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
        double const length = std::hypot(section.lateral.z, section.sagittal.z);
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
        using Rule = boost::math::quadrature::gauss<double, 3>;
        nodes<Rule, 3>([&](double u, double w) { add_section(sum, a + (b - a) * u, (b - a) * w, true); });
    }
    /// s = a + (b - a) sin2(pi u/2) turns the square-root ends of a cut stretch into smooth ones.
    void partial(Immersed& sum, double a, double b) const {
        using Rule = boost::math::quadrature::gauss<double, 20>;
        nodes<Rule, 20>([&](double u, double w) {
            double const s = a + (b - a) * square(std::sin(0.5 * pi * u));
            add_section(sum, s, w * (b - a) * 0.5 * pi * std::sin(pi * u), false);
        });
    }
    /// Nodes and weights of a Gauss rule on [0, 1].
    template <class Rule, int N, class F> static void nodes(F const& f) {
        auto const& x = Rule::abscissa();
        auto const& w = Rule::weights();
        for (std::size_t i = 0; i < x.size(); ++i) {
            f(0.5 * (1.0 + x[i]), 0.5 * w[i]);
            if (N % 2 == 0 || i > 0) f(0.5 * (1.0 - x[i]), 0.5 * w[i]);
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

// --- composition ------------------------------------------------------------------------------------

Density siri_density(double fat, Coefficients const& c) {
    return Density::from_value(1000.0 * c.value("balance.siri.numerator")
                               / (fat + c.value("balance.siri.offset")));
}

double require_age(double years) { return require("age", years, 5.0, 100.0, ""); }

LungVolumes lung_volumes(Body const& body, double age, Coefficients const& c) {
    require_age(age);
    double const H = body.stature().value();
    auto const line = [&](std::string const& key) { // litres
        return c.value(key + "stature") * H + c.value(key + "offset");
    };
    auto const volume = [&](char const* men, char const* women, bool with_age) {
        double const litres = by_sex(body.sex(), [&](Sex sex) {
            std::string const key = sex == Sex::male ? men : women;
            return line(key) + (with_age ? c.value(key + "age") * age : 0.0);
        });
        return Volume::from_value(litre * std::max(litres, 0.0));
    };
    return {volume("balance.lungs.men.tlc.", "balance.lungs.women.tlc.", false),
            volume("balance.lungs.men.rv.", "balance.lungs.women.rv.", true),
            volume("balance.lungs.men.frc.", "balance.lungs.women.frc.", true), age >= 18.0 && age <= 70.0};
}

LungFill parse_lungs(std::string_view field, std::string_view text) {
    if (text == "full") return Lungs::full;
    if (text == "mid") return Lungs::mid;
    if (text == "empty") return Lungs::empty;
    constexpr std::string_view digits = "0123456789.+-";
    if (text.empty() || digits.find(text.front()) == std::string_view::npos)
        throw InvalidInput(field, text.empty() ? "nothing" : printable(text),
                           "full, mid, empty or a volume, as 2.5L");
    return require(field, parse<Volume>(field, text), Volume::from_value(0.0),
                   Volume::from_value(12.0 * litre), "L");
}

std::string in_words(Composition const& composition, Volume lung_gas) {
    std::string const litres = format(lung_gas, "L", 2);
    if (auto const* state = std::get_if<Lungs>(&composition.lungs)) switch (*state) {
        case Lungs::full: return "lungs full (" + litres + ")";
        case Lungs::mid: return "lungs half full (" + litres + ")";
        case Lungs::empty: return "lungs empty (" + litres + ")";
        }
    return litres + " in the lungs";
}

// --- the body in water ------------------------------------------------------------------------------

namespace {

/// What a body is made of, in numbers that can be varied one by one.
struct Filling {
    double fat_percent, lung_gas, lungs_below_xiphoid, leg_density_excess;
};
/// Tissue, lungs' gas and gut gas, m3.
double volume_of(Body const& body, Filling const& filling, Coefficients const& c) {
    return body.mass().value() / siri_density(filling.fat_percent, c).value() + filling.lung_gas
           + c.value("balance.gut_gas") * litre;
}
Filling filling_of(Body const& body, Composition const& composition, Coefficients const& c) {
    static_cast<void>(age_years(composition, c)); // an impossible age is refused where lungs are stated, too
    return {fat_percent(body, composition, c), lung_gas_m3(body, composition, c).value,
            c.value("balance.lungs_below_xiphoid"), c.value("balance.leg_density_excess")};
}

/// A stretch of the solid before it is filled.
struct Piece {
    Frustum shape;
    Segment segment;
    bool lungs, gut;
    double volume;
};

class Anatomy {
public:
    Anatomy(Body const& body, double lungs_below_xiphoid) {
        auto const value = [&](std::string_view name) { return body.dimension(name).value.value(); };
        double const hip = value("hip_height");
        waist_ = value("waist_height") - hip;
        double const shoulder = value("shoulder_height") - hip;
        double const upper = by_sex(body.sex(), [](Sex s) { return length_over_stature(s, "Upper trunk"); }),
                     middle =
                         by_sex(body.sex(), [](Sex s) { return length_over_stature(s, "Middle trunk"); });
        xiphoid_ = waist_ + (shoulder - waist_) * middle / (middle + upper);
        lung_base_ = xiphoid_ - std::clamp(lungs_below_xiphoid, 0.0, 0.9) * (xiphoid_ - waist_);
        knee_ = value("crotch_height") - value("knee_height");
        ankle_ = value("crotch_height") - value("ankle_height");
        double const upper_arm = value("upper_arm_length"), forearm = value("forearm_length"),
                     arm = upper_arm + forearm + value("hand_length");
        double const from_joint = body.stature().value() * by_sex(body.sex(), [](Sex s) {
                                      return length_over_stature(s, "Upper arm");
                                  });
        shoulder_ = std::max(upper_arm - from_joint, 0.0) / arm;
        elbow_ = upper_arm / arm;
        wrist_ = (upper_arm + forearm) / arm;
    }

    [[nodiscard]] std::vector<Piece> pieces(std::vector<Frustum> const& frusta, Vector3 trunk_axis) const {
        std::vector<Piece> out;
        for (std::size_t i = 0; i < frusta.size();) {
            std::size_t end = i;
            double length = 0.0;
            for (; end < frusta.size() && frusta[end].part == frusta[i].part; ++end)
                length += norm(frusta[end].front.centre - frusta[end].rear.centre);
            double at = 0.0;
            for (; i < end; ++i) {
                double const piece = norm(frusta[i].front.centre - frusta[i].rear.centre);
                if (frusta[i].part == Part::trunk) trunk(out, frusta[i], trunk_axis);
                else limb(out, frusta[i], at, piece, length);
                at += piece;
            }
        }
        return out;
    }

private:
    static void add(std::vector<Piece>& out, Frustum const& f, Segment segment, bool lungs = false,
                    bool gut = false) {
        out.push_back({f, segment, lungs, gut, volume(f)});
    }

    void trunk(std::vector<Piece>& out, Frustum const& f, Vector3 trunk_axis) const {
        double const from = dot(f.rear.centre, trunk_axis), to = dot(f.front.centre, trunk_axis);
        double done = 0.0;
        auto const until = [&](double height) {
            double const share = to > from ? std::clamp((height - from) / (to - from), done, 1.0) : 1.0;
            if (share <= done) return;
            Frustum const stretch{between(f, done), between(f, share), f.part};
            double const middle = from + 0.5 * (done + share) * (to - from);
            add(out, stretch,
                middle < waist_     ? Segment::pelvis_and_thighs
                : middle < xiphoid_ ? Segment::middle_trunk
                                    : Segment::upper_trunk,
                middle > lung_base_, middle > waist_ && middle < lung_base_);
            done = share;
        };
        for (double const height : {waist_, lung_base_, xiphoid_, to}) until(height);
    }

    /// A piece of a limb or the head that begins `at` along it. The source's upper arm begins at the shoulder
    /// joint, the solid's at the shoulder tip: what lies between them is upper trunk.
    void limb(std::vector<Piece>& out, Frustum const& f, double at, double piece, double length) const {
        bool const arm = f.part == Part::left_arm || f.part == Part::right_arm;
        double const shoulder = arm ? std::clamp((shoulder_ * length - at) / piece, 0.0, 1.0) : 0.0;
        if (shoulder > 0.0) add(out, {f.rear, between(f, shoulder), f.part}, Segment::upper_trunk);
        if (shoulder < 1.0)
            add(out, {between(f, shoulder), f.front, f.part},
                segment(f.part, at + 0.5 * (1.0 + shoulder) * piece, length));
    }

    [[nodiscard]] Segment segment(Part part, double at, double length) const {
        switch (part) {
        case Part::left_leg:
        case Part::right_leg:
            return at < knee_ ? Segment::pelvis_and_thighs : at < ankle_ ? Segment::shank : Segment::foot;
        case Part::left_arm:
        case Part::right_arm:
            return at < elbow_ * length   ? Segment::upper_arm
                   : at < wrist_ * length ? Segment::forearm
                                          : Segment::hand;
        case Part::head:
        case Part::trunk: break;
        }
        return Segment::head;
    }

    double waist_, xiphoid_, lung_base_;
    double knee_, ankle_;             ///< from the crotch along the leg
    double shoulder_, elbow_, wrist_; ///< of the arm's length; the shoulder's joint
};

std::vector<Slice> fill(std::vector<Piece> const& pieces, Body const& body, Filling const& filling,
                        Coefficients const& c) {
    auto const shares = mass_shares(body.sex());
    std::array<double, segment_count> segment_volume{};
    double lung_space = 0.0, gut_space = 0.0;
    for (Piece const& piece : pieces) {
        segment_volume[static_cast<std::size_t>(piece.segment)] += piece.volume;
        lung_space += piece.lungs ? piece.volume : 0.0;
        gut_space += piece.gut ? piece.volume : 0.0;
    }
    auto const is_leg = [](Piece const& piece) {
        return piece.shape.part == Part::left_leg || piece.shape.part == Part::right_leg;
    };
    auto const mass_of = [&](Piece const& piece) {
        auto const i = static_cast<std::size_t>(piece.segment);
        return body.mass().value() * shares[i] * piece.volume / segment_volume[i];
    };
    double legs = 0.0;
    for (Piece const& piece : pieces) legs += is_leg(piece) ? mass_of(piece) : 0.0;
    // Denser legs make the rest lighter: the whole keeps its density.
    double const density = siri_density(filling.fat_percent, c).value();
    double const leg_density = density * (1.0 + filling.leg_density_excess);
    double const tissue = body.mass().value() / density;
    double const rest_density = (body.mass().value() - legs) / (tissue - legs / leg_density);
    double const gut_gas = c.value("balance.gut_gas") * litre;

    std::vector<Slice> slices;
    slices.reserve(pieces.size());
    for (Piece const& piece : pieces) {
        Slice slice{piece.shape, mass_of(piece), is_leg(piece)};
        double wanted = slice.mass / (slice.leg ? leg_density : rest_density);
        if (piece.lungs) wanted += filling.lung_gas * piece.volume / lung_space;
        if (piece.gut) wanted += gut_gas * piece.volume / gut_space;
        if (piece.volume > 0.0) scale_sections(slice.shape, std::sqrt(wanted / piece.volume));
        slices.push_back(slice);
    }
    return slices;
}

Posture with_incline(Posture posture, Angle incline) {
    posture.incline = incline;
    return posture;
}

} // namespace

/// Makes bodies of given fillings; `BuoyantBody::of` is the one for the public.
struct BuoyantBodyMaker {
    static BuoyantBody make(Body const& body, Posture const& posture, Filling const& filling,
                            Coefficients const& c) {
        PosedBody const posed = pose(body, posture);
        BuoyantBody out;
        out.trunk_axis_ = about_y({1, 0, 0}, posture.incline.value());
        out.slices_ = fill(Anatomy(body, filling.lungs_below_xiphoid).pieces(posed.frusta(), out.trunk_axis_),
                           body, filling, c);
        double mass = 0.0, head = 0.0;
        double const displaced = volume_of(body, filling, c);
        Vector3 by_mass{0, 0, 0}, by_volume{0, 0, 0}, of_head{0, 0, 0};
        for (Slice const& slice : out.slices_) {
            Vector3 const centre = centroid(slice.shape);
            mass += slice.mass;
            by_mass = by_mass + slice.mass * centre;
            by_volume = by_volume + first_moment(slice.shape);
            if (slice.shape.part != Part::head) continue;
            head += slice.mass;
            of_head = of_head + slice.mass * centre;
        }
        out.mass_ = kilograms(mass);
        out.head_mass_ = kilograms(head);
        out.volume_ = Volume::from_value(displaced);
        out.lung_gas_ = Volume::from_value(filling.lung_gas);
        out.centre_of_mass_ = (1.0 / mass) * by_mass;
        out.centre_of_volume_ = (1.0 / displaced) * by_volume;
        out.head_centre_ = (1.0 / head) * of_head;
        for (Slice const& slice : out.slices_) {
            Vector3 const r = centroid(slice.shape) - out.centre_of_mass_;
            Vector3 const axis = slice.shape.front.centre - slice.shape.rear.centre;
            Section const middle = between(slice.shape, 0.5);
            double const along = square(axis.x) + square(axis.z),
                         across = square(middle.lateral.x) + square(middle.lateral.z)
                                  + square(middle.sagittal.x) + square(middle.sagittal.z);
            out.inertia_ += slice.mass * (square(r.x) + square(r.z) + along / 12.0 + across / 4.0);
        }

        auto const value = [&](std::string_view name) { return body.dimension(name).value.value(); };
        out.hip_height_ = value("hip_height");
        out.crotch_ = value("crotch_height");
        out.stature_ = body.stature().value();
        out.shoulders_ = (value("shoulder_height") - out.hip_height_) * out.trunk_axis_;
        out.head_axis_ = about_y({1, 0, 0}, (posture.incline + posture.head_lift).value());
        // Both legs have the same stations, so their axes can be averaged point by point.
        std::vector<Frustum> left, right;
        for (Frustum const& f : posed.frusta()) {
            if (f.part == Part::left_leg) left.push_back(f);
            if (f.part == Part::right_leg) right.push_back(f);
        }
        double height = out.crotch_;
        out.leg_axis_.emplace_back(height, mix(left.front().rear.centre, right.front().rear.centre, 0.5));
        for (std::size_t i = 0; i < left.size(); ++i) {
            height -= norm(left[i].front.centre - left[i].rear.centre);
            out.leg_axis_.emplace_back(height, mix(left[i].front.centre, right[i].front.centre, 0.5));
        }
        std::reverse(out.leg_axis_.begin(), out.leg_axis_.end());
        return out;
    }
};

BuoyantBody BuoyantBody::of(Body const& body, Posture const& posture, Composition const& composition,
                            Coefficients const& c) {
    return BuoyantBodyMaker::make(body, posture, filling_of(body, composition, c), c);
}

Volume lung_gas(Body const& body, Composition const& composition, Coefficients const& c) {
    return Volume::from_value(filling_of(body, composition, c).lung_gas);
}
Volume body_volume(Body const& body, Composition const& composition, Coefficients const& c) {
    return Volume::from_value(volume_of(body, filling_of(body, composition, c), c));
}

Length BuoyantBody::from_soles(Vector3 point) const { return metres(hip_height_ + dot(point, trunk_axis_)); }

Vector3 BuoyantBody::at_height(std::string_view field, Length from_soles) const {
    require(field, from_soles, metres(0.0), metres(stature_), "cm");
    double const s = from_soles.value(), shoulder = hip_height_ + norm(shoulders_);
    if (s >= shoulder) return shoulders_ + (s - shoulder) * head_axis_;
    if (s >= crotch_) return (s - hip_height_) * trunk_axis_;
    auto const above =
        std::find_if(leg_axis_.begin(), leg_axis_.end(), [&](auto const& node) { return node.first >= s; });
    if (above == leg_axis_.begin()) return above->second;
    auto const below = above - 1;
    return mix(below->second, above->second, (s - below->first) / (above->first - below->first));
}

// --- equilibrium ------------------------------------------------------------------------------------

Force net_lift(Load const& load, Density rho) {
    return Force::from_value((rho.value() * load.volume.value() - load.mass.value()) * g);
}

namespace {

struct PointForce {
    Vector3 at;
    double up; ///< N
};

constexpr double most_trim = 30.0 * pi / 180.0;

/// Heave and moment of a body at a trim.
class Floating {
public:
    Floating(BuoyantBody const& body, double rho, std::vector<PointForce> forces, Vector3 support)
        : body_(body), rho_(rho), forces_(std::move(forces)), support_(support) {
        for (PointForce const& force : forces_) lift_ += force.up;
        floats_ = rho_ * g * body_.volume().value() + lift_ >= body_.mass().value() * g;
    }

    struct State {
        double plane_z;
        Immersed water;
        double carried;
        double moment; ///< about the axis through the origin, legs down positive, N m
        /// Turning stiffness of weight and water at constant displacement, N m/rad.
        double stiffness;
    };

    [[nodiscard]] bool floats() const { return floats_; }

    [[nodiscard]] State at(double trim) const {
        std::vector<Frustum> const frusta = turned(body_.slices(), trim);
        auto const [low, high] = vertical_extent(frusta);
        double const weight = body_.mass().value() * g;
        double const wanted = (weight - lift_) / (rho_ * g);
        State state{high, {}, 0.0, 0.0, 0.0};
        if (!floats_) state.carried = weight - lift_ - rho_ * g * body_.volume().value();
        else if (wanted <= 0.0) state.plane_z = low;
        else state.plane_z = level(frusta, wanted, low, high);
        // A plane that only touches a body under water must not cut its rim by a rounding error.
        state.water = immersed(frusta, floats_ ? state.plane_z : high + 1.0);

        Vector3 const mass_centre = about_y(body_.centre_of_mass(), trim);
        Vector3 const support = about_y(support_, trim);
        double moment_x =
            rho_ * g * state.water.moment.x - weight * mass_centre.x + state.carried * support.x;
        double moment_z =
            rho_ * g * state.water.moment.z - weight * mass_centre.z + state.carried * support.z;
        for (PointForce const& force : forces_) {
            Vector3 const at = about_y(force.at, trim);
            moment_x += force.up * at.x;
            moment_z += force.up * at.z;
        }
        state.moment = moment_x;
        Immersed const& w = state.water;
        double const heave = w.plane > 0.0 ? square(w.plane_x) / w.plane : 0.0;
        state.stiffness = rho_ * g * (w.plane_xx - heave) + moment_z;
        return state;
    }

private:
    /// Height of the water plane that immerses a wanted volume: Newton with the water plane's area as the
    /// slope, kept in its bracket.
    [[nodiscard]] double level(std::vector<Frustum> const& frusta, double wanted, double low,
                               double high) const {
        auto const excess = [&](double z) {
            Immersed const w = immersed(frusta, z);
            return std::make_pair(w.volume - wanted, w.plane);
        };
        boost::uintmax_t iterations = 100;
        double const guess = low + (high - low) * std::min(wanted / body_.volume().value(), 0.95);
        return boost::math::tools::newton_raphson_iterate(excess, guess, low, high, 50, iterations);
    }

    BuoyantBody const& body_;
    double rho_;
    std::vector<PointForce> forces_;
    Vector3 support_;
    double lift_ = 0.0;
    bool floats_ = true;
};

Vector3 support_of(BuoyantBody const& body, double ahead) {
    Vector3 const shoulders = body.shoulders();
    double const length = norm(shoulders);
    return (1.0 + ahead / length) * shoulders;
}

std::vector<PointForce> forces_of(BuoyantBody const& body, Density rho, std::vector<Load> const& loads) {
    std::vector<PointForce> forces;
    for (Load const& load : loads) {
        require(load.name, load.mass, kilograms(0.0), kilograms(50.0), "kg");
        require(load.name, load.volume, Volume::from_value(0.0), Volume::from_value(50.0 * litre), "L");
        forces.push_back({body.at_height(load.name, load.from_soles), net_lift(load, rho).value()});
    }
    return forces;
}

Equilibrium trimmed(BuoyantBody const& body, Density rho, std::vector<Load> const& loads, double hydrodynamic,
                    double support_ahead) {
    Vector3 const support = support_of(body, support_ahead);
    double const held = Floating(body, rho.value(), {}, support).at(0.0).moment;
    Floating const floating(body, rho.value(), forces_of(body, rho, loads), support);
    auto const residual = [&](double trim) { return floating.at(trim).moment - held - hydrodynamic * trim; };
    auto const result = [&](double trim, bool converged) {
        Floating::State const state = floating.at(trim);
        return Equilibrium{
            floating.floats(), state.plane_z, radians(trim), state.water, Force::from_value(state.carried),
            converged};
    };
    double const at_rest = residual(0.0);
    double const slope = floating.at(0.0).stiffness + hydrodynamic;
    // The moments are of the order of the weight times a millimetre: what is below is rounding.
    if (std::abs(at_rest) < 1e-9 * body.mass().value() * g) return result(0.0, true);
    double const direction = at_rest > 0.0 ? 1.0 : -1.0;
    double const expected = slope > 0.0 ? std::abs(at_rest) / slope : 0.1;
    double near = 0.0, far = direction * std::clamp(1.2 * expected, 1e-6, most_trim);
    double value_near = at_rest, value_far = residual(far);
    while (value_far * direction > 0.0 && std::abs(far) < most_trim) {
        near = far;
        value_near = value_far;
        far = direction * std::min(2.0 * std::abs(far), most_trim);
        value_far = residual(far);
    }
    if (value_far * direction > 0.0) return result(far, false);
    if (value_far == 0.0) return result(far, true);
    boost::uintmax_t iterations = 60;
    double const low = std::min(near, far), high = std::max(near, far);
    double const at_low = near < far ? value_near : value_far, at_high = near < far ? value_far : value_near;
    auto const [a, b] = boost::math::tools::toms748_solve(
        residual, low, high, at_low, at_high, boost::math::tools::eps_tolerance<double>(40), iterations);
    return result(0.5 * (a + b), true);
}

constexpr double per_degree = pi / 180.0;

/// Stiffness of weight and water at trim 0, N m/rad.
double hydrostatic_stiffness(BuoyantBody const& body, double rho, double support_ahead) {
    return Floating(body, rho, {}, support_of(body, support_ahead)).at(0.0).stiffness;
}

/// The head's weight at its distance from the centre of buoyancy: the size of the moment, not its cause. The
/// buoyancy that a lifted head loses pitches the hips up (Yanai 2001; Psycharakis & Yanai 2018, 9 to 14 N m);
/// what pushes them down is how the head is lifted: the arms press, neck and trunk extend.
Torque whole_head_moment(BuoyantBody const& body, Density rho, double support_ahead) {
    Floating::State const state = Floating(body, rho.value(), {}, support_of(body, support_ahead)).at(0.0);
    double const lever = body.head_centre().x - state.water.moment.x / state.water.volume;
    return head_lift_moment(1.0, body.head_mass(), metres(lever));
}

/// Hydrodynamic stiffness that makes the calibration come out, N m/rad, and the moment it was made with.
struct Calibration {
    Torque head;
    double total, hydrodynamic;
};
Calibration calibrate(Swim const& swim) {
    Coefficients const& c = swim.coefficients;
    double const ahead = c.value("balance.stroke_support");
    Angle const incline = degrees(c.value("posture.incline.crawl"));
    BuoyantBody const reference =
        BuoyantBody::of(swim.body, with_incline(swim.posture, incline), Composition{}, c);
    Torque const head =
        c.value("balance.head_lift.moment") * whole_head_moment(reference, swim.water.density, ahead);
    double const rise = c.value("balance.head_out.incline_rise") * incline.value();
    double const total = head.value() / rise;
    double const hydrostatic = hydrostatic_stiffness(reference, swim.water.density.value(), ahead);
    return {head, total, std::max(total - hydrostatic, 0.0)};
}

double relative_sd(Coefficients const& c, std::string_view key) { return c.sd(key) / c.value(key); }
/// Of the incline that a head held out adds.
double rise_log_sd(Coefficients const& c) {
    return std::hypot(relative_sd(c, "balance.head_out.incline_rise"),
                      relative_sd(c, "posture.incline.crawl"));
}

/// Head straight, as the calibration needs it whatever the posture says.
Swim head_down(Swim swim) {
    swim.posture.head_lift = radians(0.0);
    return swim;
}

double still_moment(Body const& body, Posture const& posture, Filling const& filling, Density rho,
                    Coefficients const& c) {
    BuoyantBody const level = BuoyantBodyMaker::make(body, with_incline(posture, radians(0.0)), filling, c);
    Floating::State const state = Floating(level, rho.value(), {}, {1, 0, 0}).at(0.0);
    return rho.value() * g * (state.water.moment.x - state.water.volume * level.centre_of_mass().x);
}

/// How far the centre of buoyancy lies ahead of the centre of mass, measured by two studies, m.
struct MeasuredLever {
    double first, second;
    [[nodiscard]] double sd() const { return 0.5 * std::abs(first - second); }
};
MeasuredLever measured_lever(Sex sex, Coefficients const& c) {
    auto const centimetres = [&](char const* men, char const* women) {
        return 0.01 * by_sex(sex, [&](Sex s) { return c.value(s == Sex::male ? men : women); });
    };
    return {centimetres("balance.buoyancy_ahead.men.2014", "balance.buoyancy_ahead.women.2014"),
            centimetres("balance.buoyancy_ahead.men.1998", "balance.buoyancy_ahead.women.1998")};
}

Uncertain still_moment_of(Swim const& swim, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    Filling const middle = filling_of(swim.body, composition, c);
    auto const moment = [&](Filling const& filling) {
        return still_moment(swim.body, swim.posture, filling, swim.water.density, c);
    };
    double const value = moment(middle);
    double variance = square(swim.body.mass().value() * g * measured_lever(swim.body.sex(), c).sd());
    auto const vary = [&](double Filling::*member, double sd, double low, double high) {
        Filling less = middle, more = middle;
        less.*member = std::max(middle.*member - sd, low);
        more.*member = std::min(middle.*member + sd, high);
        variance += square(0.5 * (moment(more) - moment(less)));
    };
    double const fat_sd = by_sex(swim.body.sex(), [&](Sex sex) {
        return c.sd(sex == Sex::male ? "balance.fat.men" : "balance.fat.women");
    });
    vary(&Filling::fat_percent, composition.fat_percent ? 0.0 : fat_sd, 3.0, 60.0);
    vary(&Filling::lung_gas, lung_gas_m3(swim.body, composition, c).sd, 0.0, 12.0 * litre);
    vary(&Filling::lungs_below_xiphoid, c.sd("balance.lungs_below_xiphoid"), 0.0, 0.9);
    vary(&Filling::leg_density_excess, c.sd("balance.leg_density_excess"), -0.1, 0.1);
    return {value, std::sqrt(variance)};
}

} // namespace

Equilibrium equilibrium(BuoyantBody const& body, Density rho, std::vector<Load> const& loads,
                        AngularStiffness hydrodynamic) {
    return trimmed(body, rho, loads, hydrodynamic.value(), published("balance.stroke_support"));
}

PitchStiffness pitch_stiffness(Swim const& given, Composition const& composition) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    BuoyantBody const body = BuoyantBody::of(
        swim.body, with_incline(swim.posture, degrees(incline_deg(swim).value)), composition, c);
    double const hydrostatic =
        hydrostatic_stiffness(body, swim.water.density.value(), c.value("balance.stroke_support"));
    return {AngularStiffness::from_value(hydrostatic),
            AngularStiffness::from_value(calibrate(swim).hydrodynamic)};
}

double pitch_stiffness_log_sd(Coefficients const& c) {
    return std::hypot(rise_log_sd(c), relative_sd(c, "balance.head_lift.moment"));
}

namespace {

/// What the still moment is worth: the lever behind it, here and measured.
std::string still_moment_note(Swim const& swim, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    BuoyantBody const level =
        BuoyantBody::of(swim.body, with_incline(swim.posture, radians(0.0)), composition, c);
    MeasuredLever const measured = measured_lever(swim.body.sex(), c);
    auto const cm = [](double metres) { return format_number(100.0 * metres, 2) + " cm"; };
    return "Still moment: wholly under water the centre of buoyancy lies "
           + cm(level.centre_of_volume().x - level.centre_of_mass().x)
           + " ahead of the centre of mass here. One study measured " + cm(measured.first)
           + " (Watanabe et al. 2014, arms overhead, neutral lungs), another " + cm(measured.second)
           + " (McLean & Hinrichs 1998): by the second the moment is much smaller, and its SD holds that.";
}

/// Of the same length and volume.
Spheroid spheroid_of(Length length, Volume volume) {
    return {length, metres(std::sqrt(6.0 * volume.value() / (pi * length.value())))};
}

std::string stiffness_note(Swim const& swim, Volume volume, PitchStiffness const& stiffness) {
    Spheroid const spheroid = spheroid_of(pose(swim.body, swim.posture).length(), volume);
    Velocity const v = metres_per_second(1.6);
    double const munk = munk_moment(swim.water.density, spheroid, v).value();
    return "Stiffness: what body, kick and arms do together, from swimmers who held the head out of the "
           "water "
           "(Zamparo & Falco 2010). Weight and still water alone give "
           + format_number(stiffness.hydrostatic.value() * per_degree, 1) + " N m per degree, and at "
           + format(v, "m/s", 2) + " the water turns a rigid body further by "
           + format_number(munk * per_degree, 2)
           + " N m per degree (Munk). A lifted head loses buoyancy, which pitches the hips up; pressing arms "
             "and "
             "an extended neck and trunk push them down.";
}

} // namespace

Balance balance(Swim const& given, Composition const& composition, std::vector<Load> const& loads) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    Density const rho = swim.water.density;
    double const ahead = c.value("balance.stroke_support"), ahead_sd = c.sd("balance.stroke_support");
    Angle const own = degrees(incline_deg(swim).value);
    BuoyantBody const body = BuoyantBody::of(swim.body, with_incline(swim.posture, own), composition, c);
    PitchStiffness const stiffness = pitch_stiffness(swim, composition);
    double const hydrodynamic = stiffness.hydrodynamic.value();
    double const log_sd = pitch_stiffness_log_sd(c);

    Equilibrium const rest = trimmed(body, rho, {}, hydrodynamic, ahead);
    Vector3 const buoyancy = (1.0 / rest.immersed.volume) * rest.immersed.moment;
    Balance out{swim,
                composition,
                body.volume(),
                body.lung_gas(),
                body.density(),
                rest.floats,
                rest.carried,
                body.from_soles(buoyancy),
                body.from_soles(body.centre_of_mass()),
                still_moment_of(swim, composition),
                {stiffness.total().value() * per_degree, stiffness.total().value() * per_degree * log_sd},
                stiffness,
                rest.floats ? std::optional(metres(rest.plane_z)) : std::nullopt,
                Area::from_value(rest.immersed.plane),
                {},
                std::nullopt,
                {std::string(balance_changes_only), still_moment_note(swim, composition),
                 stiffness_note(swim, body.volume(), stiffness)},
                cautions_of(swim, composition)};

    bool all_converged = true;
    auto const effect = [&](std::vector<Load> const& some, std::string name) {
        Equilibrium const loaded = trimmed(body, rho, some, hydrodynamic, ahead);
        Equilibrium const elsewhere = trimmed(body, rho, some, hydrodynamic, ahead + ahead_sd);
        all_converged = all_converged && loaded.converged && elsewhere.converged;
        double lift = 0.0, size = 0.0, lever = 0.0;
        for (Load const& load : some) {
            double const up = net_lift(load, rho).value();
            lift += up;
            size += std::abs(up);
            lever += std::abs(up) * load.from_soles.value();
        }
        Length const place = size > 0.0 ? metres(lever / size) : some.front().from_soles;
        double const change = in_degrees(loaded.trim);
        double const sd = std::hypot(change * log_sd, in_degrees(elsewhere.trim) - change);
        return LoadEffect{std::move(name),
                          Force::from_value(lift),
                          place,
                          {change, sd},
                          loaded.floats,
                          loaded.carried,
                          rest.floats && loaded.floats ? std::optional(metres(loaded.plane_z - rest.plane_z))
                                                       : std::nullopt};
    };
    for (Load const& load : loads) out.loads.push_back(effect({load}, load.name));
    if (loads.size() > 1) out.together = effect(loads, "together");

    if (!rest.floats)
        out.notes.push_back("Denser than water with these lungs: the body does not float, the stroke carries "
                            + format_number(rest.carried.value(), 2)
                            + " N of it. Taken as wholly under water, that force at the shoulders.");
    constexpr Force heavy = Force::from_value(-3.0); // wet cloth weighs less under water, lead more
    if (std::any_of(loads.begin(), loads.end(),
                    [&](Load const& load) { return net_lift(load, swim.water.density) < heavy; }))
        out.cautions.emplace_back(caution::added_weight);
    if (!all_converged)
        out.cautions.push_back("A load tips the body by more than 30 deg: the figure given is that limit.");
    LungVolumes const lungs = lung_volumes(swim.body, age_years(composition, c), c);
    if (!lungs.within_validity)
        out.cautions.push_back("The lung volumes are those of adults of 18 to 70 years: extrapolated.");
    return out;
}

std::vector<std::string> cautions_of(Swim const& given, Composition const& composition) {
    Swim swim = given;
    if (composition.age_years) swim.age_years = composition.age_years;
    std::vector<std::string> cautions = cautions_of(swim);
    Coefficients const& c = swim.coefficients;
    auto const* litres = std::get_if<Volume>(&composition.lungs);
    bool const emptied = litres != nullptr
                             ? *litres < lung_volumes(swim.body, age_years(composition, c), c).functional
                             : std::get<Lungs>(composition.lungs) == Lungs::empty;
    if (emptied) cautions.emplace_back(caution::empty_lungs);
    return cautions;
}

// --- the lifted head --------------------------------------------------------------------------------

namespace {

/// From the base of the neck, at the level of the shoulders, to the centre of the head.
double head_radius(Body const& body) {
    double const head = by_sex(body.sex(), [](Sex s) { return length_over_stature(s, "Head"); });
    return body.stature().value() * (1.0 - 0.5 * head) - body.dimension("shoulder_height").value.value();
}

} // namespace

Angle head_lift_angle(std::variant<Angle, Length> const& lift, Body const& body) {
    if (auto const* angle = std::get_if<Angle>(&lift)) return *angle;
    Length const height = std::get<Length>(lift);
    double const radius = head_radius(body);
    require("head lift", height, metres(0.0), metres(radius * std::sin(degrees(60.0).value())), "cm");
    return radians(std::asin(height.value() / radius));
}

Angle neck_angle(std::variant<Angle, Length> const& lift, Body const& body) {
    (void)head_share_out(lift, body);
    auto const* const rise = std::get_if<Length>(&lift);
    if (rise == nullptr) return std::get<Angle>(lift);
    return radians(std::asin(std::min(rise->value() / head_radius(body), std::sin(degrees(60.0).value()))));
}

double head_share_out(std::variant<Angle, Length> const& lift, Body const& body) {
    double rise = 0.0;
    if (auto const* angle = std::get_if<Angle>(&lift)) {
        require("head lift", *angle, radians(0.0), degrees(60.0), "deg");
        rise = head_radius(body) * std::sin(angle->value());
    } else {
        Length const height = std::get<Length>(lift);
        require("head lift", height, metres(0.0), metres(0.4), "cm");
        rise = height.value();
    }
    return std::min(rise / body.dimension("head_depth").value.value(), 1.0);
}

PitchMotion PitchMotion::of(Swim const& given, Composition const& composition) {
    Swim const swim = head_down(given);
    Coefficients const& c = swim.coefficients;
    Posture const posture = with_incline(swim.posture, degrees(incline_deg(swim).value));
    BuoyantBody const body = BuoyantBody::of(swim.body, posture, composition, c);
    Spheroid const spheroid = spheroid_of(pose(swim.body, posture).length(), body.volume());
    return {body.pitch_inertia() + added_inertia(swim.water.density, spheroid).value(),
            c.value("balance.damping_ratio"), pitch_stiffness(swim, composition).total()};
}

namespace raw {

PitchState pitch_step(PitchState from, double u, double zeta, double w, double dt) {
    // x - u decays freely: e^{-zeta w t} (C + zeta w S, S; -w2 S, C - zeta w S) with C, S the cosine and the
    // sine over the damped frequency, hyperbolic beyond critical damping.
    double const r2 = w * w * (1.0 - zeta * zeta), decay = std::exp(-zeta * w * dt);
    double c = 1.0, s = dt;
    double const phase2 = r2 * dt * dt;
    if (phase2 > 1e-8) {
        c = std::cos(std::sqrt(phase2));
        s = std::sin(std::sqrt(phase2)) / std::sqrt(r2);
    } else if (phase2 < -1e-8) {
        c = std::cosh(std::sqrt(-phase2));
        s = std::sinh(std::sqrt(-phase2)) / std::sqrt(-r2);
    } else {
        c = 1.0 - 0.5 * phase2;
        s = dt * (1.0 - phase2 / 6.0);
    }
    double const x = from.angle - u, v = from.rate;
    return {u + decay * ((c + zeta * w * s) * x + s * v), decay * (-w * w * s * x + (c - zeta * w * s) * v)};
}

PitchState pitch_pulse(PitchState from, double t0, double dt, double width, double zeta, double w) {
    // Particular solution 1/2 - (a cos + b sin)/2 of the forced oscillator, the rest decays freely.
    double const p = 2.0 * pi / width;
    double const real = w * w - p * p, imaginary = 2.0 * zeta * w * p;
    double const gain = w * w / (real * real + imaginary * imaginary);
    double const a = gain * real, b = gain * imaginary;
    auto const forced = [&](double t) {
        double const cos_t = std::cos(p * t), sin_t = std::sin(p * t);
        return PitchState{0.5 - 0.5 * (a * cos_t + b * sin_t), 0.5 * p * (a * sin_t - b * cos_t)};
    };
    PitchState const start = forced(t0), end = forced(t0 + dt);
    PitchState const free = pitch_step({from.angle - start.angle, from.rate - start.rate}, 0.0, zeta, w, dt);
    return {end.angle + free.angle, end.rate + free.rate};
}

} // namespace raw

namespace {

/// Periodic answer to unit pulses of a width, one every period, as a share of the held angle.
class Swing {
public:
    Swing(double width, double period, double zeta, double w)
        : width_(width), period_(period), zeta_(zeta), w_(w) {
        // x(T) = P x(0) + q: the columns of P and q by three runs, then x = (1 - P)^-1 q.
        raw::PitchState const q = after({0, 0}), one = after({1, 0}), two = after({0, 1});
        double const p00 = one.angle - q.angle, p10 = one.rate - q.rate;
        double const p01 = two.angle - q.angle, p11 = two.rate - q.rate;
        double const determinant = (1.0 - p00) * (1.0 - p11) - p01 * p10;
        start_ = {((1.0 - p11) * q.angle + p01 * q.rate) / determinant,
                  (p10 * q.angle + (1.0 - p00) * q.rate) / determinant};
        at_end_of_pulse_ = raw::pitch_pulse(start_, 0.0, width_, width_, zeta_, w_);
    }

    [[nodiscard]] double angle(double t) const {
        return t <= width_ ? raw::pitch_pulse(start_, 0.0, t, width_, zeta_, w_).angle
                           : raw::pitch_step(at_end_of_pulse_, 0.0, zeta_, w_, t - width_).angle;
    }

    struct Peak {
        double t, angle;
    };
    [[nodiscard]] Peak peak() const {
        constexpr int points = 128;
        Peak best{0.0, angle(0.0)};
        for (int i = 1; i <= points; ++i) {
            double const t = period_ * i / points, x = angle(t);
            if (x > best.angle) best = {t, x};
        }
        // Parabola through the highest point and its neighbours.
        double const h = period_ / points;
        double const before = angle(wrapped(best.t - h)), after = angle(wrapped(best.t + h));
        double const bend = before - 2.0 * best.angle + after;
        if (bend >= 0.0) return best;
        double const shift = 0.5 * (before - after) / bend;
        return {best.t + shift * h, best.angle - 0.25 * (before - after) * shift};
    }

private:
    [[nodiscard]] double wrapped(double t) const {
        return t < 0.0 ? t + period_ : t > period_ ? t - period_ : t;
    }
    [[nodiscard]] raw::PitchState after(raw::PitchState from) const {
        return raw::pitch_step(raw::pitch_pulse(from, 0.0, width_, width_, zeta_, w_), 0.0, zeta_, w_,
                               period_ - width_);
    }

    double width_, period_, zeta_, w_;
    raw::PitchState start_{}, at_end_of_pulse_{};
};

/// Everything about a lifted head but the uncertain numbers.
struct LiftedHead {
    double share, head_moment, inertia, stiffness, zeta, width_cycles, cycle, period;

    static LiftedHead of(Swim const& given, std::variant<Angle, Length> const& lift, Breathing breathing,
                         Composition const& composition) {
        Swim const swim = head_down(given);
        Coefficients const& c = swim.coefficients;
        PitchMotion const motion = PitchMotion::of(swim, composition);
        if (swim.stroke != Stroke::back) require_possible(breathing, swim.stroke);
        double const breaths = swim.stroke == Stroke::back ? 0.0 : breaths_per_cycle(swim.stroke, breathing);
        double const cycle = usual_cycle(swim.stroke, c).value();
        return {head_share_out(lift, swim.body),
                calibrate(swim).head.value(),
                motion.inertia,
                motion.stiffness.value(),
                motion.damping_ratio,
                breaths > 0.0 ? pulse_width(swim.stroke, c).value : 0.0,
                cycle,
                breaths > 0.0 ? cycle / breaths : 0.0};
    }

    [[nodiscard]] double held() const { return share * head_moment / stiffness; }
    [[nodiscard]] bool breathes() const { return period > 0.0; }
    [[nodiscard]] Swing swing() const {
        return {std::min(width_cycles * cycle, period), period, zeta, std::sqrt(stiffness / inertia)};
    }
};

} // namespace

HeadDrag head_drag(Swim const& swim, std::variant<Angle, Length> const& lift, double lift_relative_sd) {
    HeadDrag out = HeadDrag::of(swim.body, head_down(swim).posture, degrees(incline_deg(swim).value),
                                neck_angle(lift, swim.body), swim.coefficients);
    out.log_sd = std::hypot(out.log_sd, lift_relative_sd);
    return out;
}

HeadLiftResponse head_lift_response(Swim const& swim, std::variant<Angle, Length> const& lift,
                                    Breathing breathing, Composition const& composition) {
    Coefficients const& c = swim.coefficients;
    LiftedHead const head = LiftedHead::of(swim, lift, breathing, composition);
    double const zeta = head.zeta;
    double const overshoot = zeta < 1.0 ? std::exp(-pi * zeta / std::sqrt(1.0 - zeta * zeta)) : 0.0;
    HeadLiftResponse out{
        head.share,           Torque::from_value(head.share * head.head_moment),
        radians(head.held()), std::hypot(rise_log_sd(c), c.value("breath.measured_lift.relative_sd")),
        radians(head.held()), radians(head.held()),
        seconds(0.0),         overshoot,
        seconds(head.period), {},
        HipMotion::always(),  {}};
    if (breathes_rarely(swim.stroke, breathing)) out.cautions.emplace_back(caution::fewer_breaths);
    if (head.share >= 1.0) out.cautions.emplace_back(caution::head_up);
    constexpr int points = 64;
    if (!head.breathes()) {
        // Lifted at once and held: two natural periods of the step response.
        double const w = std::sqrt(head.stiffness / head.inertia), duration = 4.0 * pi / w;
        for (int i = 0; i <= points; ++i) {
            double const t = duration * i / points;
            out.series.push_back(
                {seconds(t), radians(head.held() * raw::pitch_step({0, 0}, 1.0, zeta, w, t).angle)});
        }
        return out;
    }
    Swing const swing = head.swing();
    double const peak = swing.peak().angle, lift_time = std::min(head.width_cycles * head.cycle, head.period);
    out.peak = radians(head.held() * peak);
    out.lag = seconds(swing.peak().t - 0.5 * lift_time);
    std::vector<double> levels;
    for (int i = 0; i <= points; ++i) {
        double const t = head.period * i / points;
        out.series.push_back({seconds(t), radians(head.held() * swing.angle(t))});
        if (i % 4 == 0 && i < points) levels.push_back(swing.angle(t) / peak);
    }
    // The swing is linear in the lift: its mean is the lift's. The few levels are set to it exactly.
    double const mean = 0.5 * lift_time / head.period;
    double const sampled =
        std::accumulate(levels.begin(), levels.end(), 0.0) / static_cast<double>(levels.size());
    for (double& level : levels) level *= mean / (peak * sampled);
    out.mean = radians(head.held() * mean);
    out.hips = HipMotion::swing(head.period / head.cycle, head.width_cycles, std::move(levels));
    return out;
}

} // namespace libdrag
