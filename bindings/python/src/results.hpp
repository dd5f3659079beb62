#pragma once
/// Results that both parts of the core hand over, as dictionaries of plain numbers and arrays.

#include <libdrag/motion.hpp>

#include "elements.hpp"

namespace libdrag_python {

inline py::dict motion(StrokeResult const& r) {
    std::vector<double> t, v;
    for (StrokePoint const& p : r.series) {
        t.push_back(p.t.value());
        v.push_back(p.v.value());
    }
    return py::dict("period_s"_a = r.period.value(), "mean_speed_m_s"_a = r.mean_speed.value(),
                    "centre_of_mass_cv"_a = r.centre_of_mass_cv,
                    "centre_of_mass_peak_fluctuation"_a = r.centre_of_mass_peak_fluctuation,
                    "slowest_m_s"_a = r.slowest.value(), "fastest_m_s"_a = r.fastest.value(),
                    "mean_thrust_N"_a = r.mean_thrust.value(), "mean_power_W"_a = r.mean_power.value(),
                    "work_J"_a = r.work.value(), "dissipation_J"_a = r.dissipation.value(),
                    "t_s"_a = handed_over(std::move(t)), "v_m_s"_a = handed_over(std::move(v)));
}

} // namespace libdrag_python
