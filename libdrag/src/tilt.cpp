#include <libdrag/tilt.hpp>

#include <cmath>

#include <libdrag/quantity.hpp>

#include "maths.hpp"
#include "names.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<TiltModel>, 5> tilt_models{{{"projected", TiltModel::projected},
                                                       {"damped", TiltModel::damped},
                                                       {"slope", TiltModel::slope},
                                                       {"crossflow", TiltModel::crossflow},
                                                       {"blend", TiltModel::blend}}};

} // namespace

std::string_view to_string(TiltModel model) { return name_of(tilt_models, model); }
TiltModel parse_tilt_model(std::string_view text) { return parse_name("tilt model", tilt_models, text); }

TiltParameters TiltParameters::from(Coefficients const& c) {
    double const percent_per_degree = 0.01 / degrees(1.0).value();
    return {c.value("tilt.damped.exponent"), c.value("tilt.slope") * percent_per_degree,
            c.value("tilt.crossflow.cd"), c.value("tilt.crossflow.axial_cd")};
}

TiltShape TiltShape::of(Body const& body, Posture const& level) {
    PosedBody const posed = pose(body, level);
    double const projected = projected_area(posed).value();
    return {AreaCurve::of(body, level), planform_area(posed).area().value() / projected,
            posed.length().value() / std::sqrt(4.0 * projected / pi)};
}

double tilt_ratio(TiltModel model, TiltShape const& shape, TiltParameters const& p, Angle from, Angle to) {
    auto const area_to_the = [&](double exponent) {
        return maths::exp(exponent * (shape.area.log_area(to) - shape.area.log_area(from)));
    };
    switch (model) {
    case TiltModel::projected: return area_to_the(1.0);
    case TiltModel::damped: return area_to_the(p.damped_exponent);
    case TiltModel::slope: return raw::slope_ratio(p.slope, from.value(), to.value());
    case TiltModel::crossflow: {
        double const b = crossflow_efficiency(shape.fineness) * p.crossflow_cd * shape.area_ratio;
        auto const drag = [&](Angle a) {
            return raw::crossflow_drag(p.crossflow_axial_cd, b, maths::sin(a.value()), maths::cos(a.value()));
        };
        return drag(to) / drag(from);
    }
    case TiltModel::blend:
        return 0.5
               * (tilt_ratio(TiltModel::damped, shape, p, from, to)
                  + tilt_ratio(TiltModel::slope, shape, p, from, to));
    }
    return 1.0;
}

double crossflow_efficiency(double fineness) {
    constexpr double a = published("tilt.crossflow.eta.a"), b = published("tilt.crossflow.eta.b"),
                     c = published("tilt.crossflow.eta.c"), d = published("tilt.crossflow.eta.d");
    double const second = c / (fineness + d);
    return 1.0 - a / (fineness + b) - second * second;
}

} // namespace libdrag
