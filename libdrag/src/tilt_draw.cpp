#include "tilt_draw.hpp"

namespace libdrag {

TiltUnknowns TiltUnknowns::add_to(Unknowns& unknowns, TiltModel model, Coefficients const& c,
                                  double between) {
    TiltUnknowns at{
        unknowns.add(unknown::tilt_law(model, c)),      unknowns.add(unknown::tilt_exponent(model, c)),
        unknowns.add(unknown::tilt_slope(model, c)),    unknowns.add(unknown::tilt_crossflow_cd(model, c)),
        unknowns.add(unknown::tilt_axial_cd(model, c)), {}};
    for (std::size_t k = 0; k < at.mode.size(); ++k)
        at.mode[k] = unknowns.add(unknown::shape_mode(k, between));
    return at;
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
