#include "tilt_draw.hpp"

#include <libdrag/quantity.hpp>

namespace libdrag {

std::string TiltInputs::name_of(TiltModel model) {
    std::string const doubt = "how drag grows with tilt";
    return model == TiltModel::blend ? doubt + " (the models disagree)"
                                     : doubt + " (" + std::string(to_string(model)) + " alone)";
}

TiltInputs TiltInputs::append(std::vector<Input>& inputs, TiltModel model, Coefficients const& c) {
    TiltInputs const here{inputs.size()};
    auto const weight = [&](TiltModel m) {
        if (model == TiltModel::blend) return c.value("tilt.weight." + std::string(to_string(m)));
        return m == model ? 1.0 : 0.0;
    };
    for (char const* key :
         {"tilt.weight.projected", "tilt.weight.damped", "tilt.weight.slope", "tilt.weight.crossflow"})
        require(key, c.value(key), 0.0, 1e6, "");
    TiltParameters const p = TiltParameters::from(c);
    std::string const model_name = name_of(model);
    double const per_unit = p.slope / c.value("tilt.slope");
    inputs.push_back(Input::choice(model_name, {weight(TiltModel::projected), weight(TiltModel::damped),
                                                weight(TiltModel::slope), weight(TiltModel::crossflow)}));
    inputs.push_back(Input::normal(model_name, p.damped_exponent, c.sd("tilt.damped.exponent"), 0.0, 1.0));
    inputs.push_back(Input::normal(model_name, p.slope, c.sd("tilt.slope") * per_unit, 0.0, 3.0 * p.slope));
    inputs.push_back(Input::normal(model_name, p.crossflow_cd, c.sd("tilt.crossflow.cd"), 0.3, 2.4));
    inputs.push_back(
        Input::normal(model_name, p.crossflow_axial_cd, c.sd("tilt.crossflow.axial_cd"), 0.1, 0.9));
    for (std::size_t k = 0; k < AreaCurve::max_modes; ++k)
        inputs.push_back(Input::normal(body_name, 0.0, 1.0));
    return here;
}

TiltTable::TiltTable(TiltShape const& shape)
    : per_step(1.0 / shape.area.step),
      last(static_cast<double>(shape.area.mean.size() - 1) - 1e-9), // lies inside the last cell
      cells(shape.area.mean.size() - 1),
      crossflow_factor(crossflow_efficiency(shape.fineness) * shape.area_ratio) {
    auto const fill = [&](std::size_t column, std::vector<double> const& values) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
            cells[i].at[column] = values[i];
            cells[i].change[column] = values[i + 1] - values[i];
        }
    };
    fill(0, shape.area.mean);
    for (std::size_t k = 0; k < shape.area.modes.size(); ++k) fill(k + 1, shape.area.modes[k]);
}

} // namespace libdrag
