#include <libdrag/body.hpp>

#include <algorithm>
#include <cmath>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "body_ratio.hpp"
#include "maths.hpp"
#include "tables.hpp"

namespace libdrag {
namespace {

std::size_t index_of(std::string_view name) {
    for (std::size_t i = 0; i < dimension_list.size(); ++i)
        if (dimension_list[i].name == name) return i;
    std::vector<std::string_view> names;
    for (auto const& row : dimension_list) names.push_back(row.name);
    throw UnknownKey("body dimension", printable(name), nearest(name, names));
}

constexpr tables::BodyRegressionRow const& regression(std::string_view sex, std::string_view variable) {
    for (auto const& row : tables::body_regression)
        if (row.sex == sex && row.variable == variable) return row;
    throw UnknownKey("body regression", variable, "");
}

struct RegressionPair {
    tables::BodyRegressionRow const *female, *male;
};
constexpr auto find_regressions() {
    std::array<RegressionPair, dimension_list.size()> pairs{};
    for (std::size_t i = 0; i < pairs.size(); ++i)
        pairs[i] = {&regression("FEMALE", dimension_list[i].ansur),
                    &regression("MALE", dimension_list[i].ansur)};
    return pairs;
}
constexpr auto regressions = find_regressions();

BodyDimension estimate_dimension(std::size_t i, Sex sex, Length stature, Mass mass) {
    double const ln_stature = maths::log(stature.value() * 1e3);
    double const ln_mass = maths::log(mass.value());
    auto const ln_mm = [&](tables::BodyRegressionRow const& row) {
        return row.c0 + row.c1 * ln_stature + row.c2 * ln_mass;
    };
    auto const dimension = [](double ln_value_mm, double sd_of_ln) {
        double const value = 1e-3 * maths::exp(ln_value_mm);
        return BodyDimension{metres(value), metres(value * sd_of_ln), false};
    };
    auto const& female = *regressions[i].female;
    auto const& male = *regressions[i].male;
    switch (sex) {
    case Sex::female: return dimension(ln_mm(female), female.see_ln);
    case Sex::male: return dimension(ln_mm(male), male.see_ln);
    case Sex::average: break;
    }
    // Either sex with probability one half: within-sex variance plus the variance of two equal points.
    double const half_gap = 0.5 * (ln_mm(male) - ln_mm(female));
    double const within = 0.5 * (square(female.see_ln) + square(male.see_ln));
    return dimension(0.5 * (ln_mm(male) + ln_mm(female)), std::sqrt(within + square(half_gap)));
}

/// @throws InvalidInput if the heights of the body, from the floor up, are not in that order. (The hip
/// point and the crotch lie so close that measurement can put either above the other.)
void require_order(Body const& body) {
    constexpr std::array<std::array<std::string_view, 2>, 8> below_above{
        {{"ankle_height", "knee_height"},
         {"knee_height", "crotch_height"},
         {"knee_height", "hip_height"},
         {"crotch_height", "waist_height"},
         {"hip_height", "waist_height"},
         {"waist_height", "chest_height"},
         {"chest_height", "shoulder_height"},
         {"shoulder_height", "overhead_reach"}}};
    for (auto const& [below, above] : below_above) {
        BodyDimension const& low = body.dimension(below);
        BodyDimension const& high = body.dimension(above);
        if (low.value < high.value) continue;
        bool const blame_low = low.measured && !high.measured;
        if (blame_low)
            throw InvalidInput(below, format(low.value, "cm", 4),
                               "less than " + std::string(above) + ", " + format(high.value, "cm", 4));
        throw InvalidInput(above, format(high.value, "cm", 4),
                           "more than " + std::string(below) + ", " + format(low.value, "cm", 4));
    }
    double const chin = body_ratio("chin height");
    Length const shoulder = body.dimension("shoulder_height").value;
    if (!(shoulder < chin * body.stature()))
        throw InvalidInput("shoulder_height", format(shoulder, "cm", 4),
                           "below the chin, less than " + format(Length(chin * body.stature()), "cm", 4));
}

/// @throws InvalidInput if a dimension is not within half to twice its estimate: a slip of unit or row.
void require_plausible(std::string_view name, Length value, Length estimate) {
    require(name, value, Length(0.5 * estimate), Length(2.0 * estimate), "cm");
}

} // namespace

Body Body::estimate(Measurements const& known) {
    require("stature", known.stature, metres(1.0), metres(2.4), "m");
    require("mass", known.mass, kilograms(20.0), kilograms(250.0), "kg");
    double const square_stature = square(known.stature.value());
    require("mass", known.mass, kilograms(8.0 * square_stature), kilograms(100.0 * square_stature), "kg");
    require("measured_sd", known.measured_sd, metres(0.0), metres(0.1), "cm");

    Body body;
    body.sex_ = known.sex;
    body.stature_ = known.stature;
    body.mass_ = known.mass;
    for (std::size_t i = 0; i < dimension_list.size(); ++i)
        body.dimensions_[i] = estimate_dimension(i, known.sex, known.stature, known.mass);
    for (auto const& [name, value] : known.measured) {
        BodyDimension& dimension = body.dimensions_[index_of(name)];
        require_plausible(name, value, dimension.value);
        dimension = {value, known.measured_sd, true};
    }
    require_order(body);
    return body;
}

BodyDimension const& Body::dimension(std::string_view name) const { return dimensions_[index_of(name)]; }

Body Body::with(std::string_view name, Length value) const {
    std::size_t const i = index_of(name);
    require_plausible(name, value, estimate_dimension(i, sex_, stature_, mass_).value);
    Body changed = *this;
    changed.dimensions_[i].value = value;
    require_order(changed);
    return changed;
}

Length Body::shoulder_hip() const {
    return dimension("shoulder_height").value - dimension("hip_height").value;
}

namespace {
bool smaller_than_adults(Body const& body) {
    return body.stature() < metres(1.45) || body.mass() < kilograms(40.0);
}
} // namespace

bool Body::is_child(std::optional<double> age_years) const {
    constexpr double of_age = 18.0;
    return age_years ? *age_years < of_age : smaller_than_adults(*this);
}

std::vector<std::string> Body::flags(std::optional<double> age_years) const {
    std::vector<std::string> sentences;
    if (smaller_than_adults(*this)) sentences.emplace_back(caution::small_body);
    if (is_child(age_years)) sentences.emplace_back(caution::child);
    if (stature_ > metres(2.05) || mass_ > kilograms(130.0))
        sentences.push_back(
            "The body is larger than the sample the estimates come from (up to 2.05 m, 130 kg).");
    if (sex_ == Sex::average)
        sentences.push_back(
            "Sex is not given: dimensions are the mean of a woman's and a man's, with a wider scatter.");
    for (std::string const level : {"chest", "waist", "hip"}) {
        BodyDimension const& girth = dimension(level + "_girth");
        BodyDimension const& depth = dimension(level + "_depth");
        if (pi * depth.value > girth.value && (depth.measured || girth.measured))
            sentences.push_back("The " + level + " is deeper than its girth allows: the girth is used.");
    }
    return sentences;
}

TrunkCrossSection Body::clarys() const {
    double const cm2 = published("body.clarys.mass") * mass_.value()
                       + published("body.clarys.stature") * (100.0 * stature_.value())
                       + published("body.clarys.offset");
    return TrunkCrossSection{Area::from_value(1e-4 * cm2)};
}

TrunkCrossSection Body::morais() const {
    double const girth = 100.0 * dimension("chest_girth").value.value();
    double const depth = 100.0 * dimension("chest_depth").value.value();
    double const men = published("body.morais.men.girth") * girth + published("body.morais.men.depth") * depth
                       + published("body.morais.men.offset");
    double const women = published("body.morais.women.girth") * girth
                         + published("body.morais.women.depth") * depth
                         + published("body.morais.women.offset");
    double const cm2 = sex_ == Sex::male ? men : sex_ == Sex::female ? women : 0.5 * (men + women);
    return TrunkCrossSection{Area::from_value(1e-4 * cm2)};
}

bool operator==(Body const& a, Body const& b) {
    auto const same = [](BodyDimension const& x, BodyDimension const& y) {
        return x.value == y.value && x.sd == y.sd && x.measured == y.measured;
    };
    return a.sex_ == b.sex_ && a.stature_ == b.stature_ && a.mass_ == b.mass_
           && std::equal(a.dimensions_.begin(), a.dimensions_.end(), b.dimensions_.begin(), same);
}

} // namespace libdrag
