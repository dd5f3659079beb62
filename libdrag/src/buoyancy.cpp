#include <libdrag/buoyancy.hpp>

#include <algorithm>
#include <array>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "filling.hpp"
#include "maths.hpp"
#include "tables.hpp"
#include "vector3.hpp"

namespace libdrag {
namespace {

double fat_percent(Body const& body, Composition const& composition, Coefficients const& c) {
    if (composition.fat_percent) return require("fat", *composition.fat_percent, 3.0, 60.0, "");
    return by_sex(body.sex(), [&](Sex sex) {
        return c.value(sex == Sex::male ? "balance.fat.men" : "balance.fat.women");
    });
}

} // namespace

double age_years(Composition const& composition, Coefficients const& c) {
    return require("age", composition.age_years.value_or(c.value("balance.age")), 5.0, 100.0, "");
}

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
    return {0.5 * (lungs.total.value() + lungs.residual.value()), 0.5 * maths::hypot(total_sd, residual_sd)};
}

// --- segments ---------------------------------------------------------------------------------------

double length_over_stature(Sex sex, std::string_view segment) {
    std::string_view const wanted = sex == Sex::female ? "female" : "male";
    for (auto const& row : tables::de_leva)
        if (row.sex == wanted && row.segment == segment) return row.length_over_stature;
    throw UnknownKey("body segment", segment, "");
}

namespace {

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

} // namespace

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

/// Tissue, lungs' gas and gut gas, m3.
double volume_of(Body const& body, Filling const& filling, Coefficients const& c) {
    return body.mass().value() / siri_density(filling.fat_percent, c).value() + filling.lung_gas
           + c.value("balance.gut_gas") * litre;
}
} // namespace

Filling filling_of(Body const& body, Composition const& composition, Coefficients const& c) {
    static_cast<void>(age_years(composition, c)); // an impossible age is refused where lungs are stated, too
    return {fat_percent(body, composition, c), lung_gas_m3(body, composition, c).value,
            c.value("balance.lungs_below_xiphoid"), c.value("balance.leg_density_excess")};
}

namespace {

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

} // namespace

BuoyantBody BuoyantBodyMaker::make(Body const& body, Posture const& posture, Filling const& filling,
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
                     across = square(middle.lateral.x) + square(middle.lateral.z) + square(middle.sagittal.x)
                              + square(middle.sagittal.z);
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

} // namespace libdrag
