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

template <class T>
TiltTableOf<T>::TiltTableOf(TiltShape const& shape)
    : per_step(static_cast<T>(1.0 / shape.area.step)),
      last(static_cast<T>(static_cast<double>(shape.area.mean.size() - 1)
                          - (sizeof(T) == sizeof(float) ? 1e-4 : 1e-9))), // lies inside the last cell
      cells(shape.area.mean.size() - 1),
      crossflow_factor(static_cast<T>(crossflow_efficiency(shape.fineness) * shape.area_ratio)) {
    auto const fill = [&](std::size_t column, std::vector<double> const& values, double from) {
        for (std::size_t i = 0; i < cells.size(); ++i) {
            cells[i].at[column] = static_cast<T>(values[i] - from);
            cells[i].change[column] = static_cast<T>(values[i + 1] - values[i]);
        }
    };
    fill(0, shape.area.mean, sizeof(T) == sizeof(float) ? shape.area.log_area(degrees(10.0)) : 0.0);
    for (std::size_t k = 0; k < shape.area.modes.size(); ++k) fill(k + 1, shape.area.modes[k], 0.0);
}

template struct TiltTableOf<float>;
template struct TiltTableOf<double>;

} // namespace libdrag
