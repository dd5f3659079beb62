"""One-line mistakes that some test must notice: signs, factors, exponents, bounds, indices, spreads.

Each old text stands in its file exactly once; `run.py --check` says which do not any more.
"""

from typing import NamedTuple


class Mutant(NamedTuple):
    name: str
    file: str
    old: str
    new: str


SRC, INCLUDE = "libdrag/src/", "libdrag/include/libdrag/"
# fmt: off
LISTED = [
    # --- water
    ("water.density.sign", SRC + "water.cpp", "x * x * (t.value() + a2)", "x * x * (t.value() - a2)"),
    ("water.viscosity.kelvin", SRC + "water.cpp", "(t.value() + 273.15) / 300.0", "(t.value() + 273.0) / 300.0"),
    ("water.viscosity.index", SRC + "water.cpp", "a[i] * std::pow(reduced, b[i])", "a[i] * std::pow(reduced, b[0])"),
    ("water.sea.root", SRC + "water.cpp", "S * std::sqrt(S) * polynomial(b, x)", "S * polynomial(b, x)"),
    ("water.sea.square", SRC + "water.cpp", "1.0 + A * S + B * S * S", "1.0 + A * S - B * S * S"),
    ("water.sea.unit", SRC + "water.cpp", "sea_viscosity_ratio(absolute / 1000.0, t)", "sea_viscosity_ratio(practical / 1000.0, t)"),
    ("water.validity", SRC + "water.cpp", "t.value() >= 10.0 && t.value() <= 35.0", "t.value() >= 5.0 && t.value() <= 35.0"),
    ("water.limit", SRC + "water.cpp", "require_liquid(t, 60.0)", "require_liquid(t, 70.0)"),
    # --- added mass
    ("added_mass.series", SRC + "added_mass.cpp", "power / ((2 * m + 3) * (2 * m + 5))", "power / ((2 * m + 1) * (2 * m + 5))"),
    ("added_mass.across", SRC + "added_mass.cpp", "beta0 / (alpha0 + beta0)", "beta0 / (2.0 * beta0)"),
    ("added_mass.rotation", SRC + "added_mass.cpp", "(2.0 - e2) * (2.0 - (2.0 - e2) * per_e2)", "(2.0 - e2) * (2.0 + (2.0 - e2) * per_e2)"),
    ("added_mass.inertia", SRC + "added_mass.cpp", "(square(body.length) + square(body.diameter)).value() / 20.0", "(square(body.length) + square(body.diameter)).value() / 5.0"),
    ("added_mass.volume", SRC + "added_mass.cpp", "return pi / 6.0 * length * square(diameter)", "return pi / 4.0 * length * square(diameter)"),
    ("added_mass.average.sd", SRC + "added_mass.cpp", "kilograms(std::hypot(within, between))", "kilograms(within)"),
    ("added_mass.projected", SRC + "added_mass.cpp", "ProjectedArea{pi / 4.0 * square(diameter)}", "ProjectedArea{pi / 2.0 * square(diameter)}"),
    # --- waves
    ("waves.depth.factor", SRC + "waves.cpp", "std::exp(-2.0 * standard_gravity().value() * depth.value()", "std::exp(-1.0 * standard_gravity().value() * depth.value()"),
    ("waves.length", SRC + "waves.cpp", "return 2.0 * pi * square(v) / standard_gravity()", "return pi * square(v) / standard_gravity()"),
    ("waves.hull_speed", SRC + "waves.cpp", "standard_gravity() * length / (2.0 * pi)", "standard_gravity() * length / (4.0 * pi)"),
    ("waves.share.knot", SRC + "waves.cpp", "2.0 * per_speed, 2.2 * per_speed", "2.1 * per_speed, 2.2 * per_speed"),
    ("waves.share.bound", SRC + "waves.cpp", "constexpr double most = 0.95", "constexpr double most = 1.5"),
    ("waves.sphere", SRC + "waves.cpp", "K0 + (1.0 + 0.5 / q) * K1", "K0 + (1.0 - 0.5 / q) * K1"),
    ("waves.spheroid.power", SRC + "waves.cpp", "pi * k0_a * k0_a * k0_a * B * B", "pi * k0_a * k0_a * B * B"),
    ("waves.series", SRC + "waves.cpp", "1.0 - x2 / 10.0 * (1.0 - x2 / 28.0", "1.0 - x2 / 12.0 * (1.0 - x2 / 28.0"),
    ("waves.shallow.critical", SRC + "waves.cpp", "if (F2 >= 1.0) return std::nullopt", "if (F2 >= 1.2) return std::nullopt"),
    ("waves.validity", SRC + "waves.cpp", "0.5 * body.diameter / axis_depth <=", "body.diameter / axis_depth <="),
    ("waves.over_weight", SRC + "waves.cpp", "R.value() / (rho.value() * g * body.volume().value())", "R.value() / (rho.value() * body.volume().value())"),
    # --- tilt
    ("tilt.blend", SRC + "tilt.cpp", "return 0.5\n               * (tilt_ratio", "return 0.4\n               * (tilt_ratio"),
    ("tilt.eta.sign", SRC + "tilt.cpp", "1.0 - a / (fineness + b) - second * second", "1.0 - a / (fineness + b) + second * second"),
    ("tilt.fineness", SRC + "tilt.cpp", "std::sqrt(4.0 * projected / pi)", "std::sqrt(projected / pi)"),
    ("tilt.exponent.bound", SRC + "tilt.cpp", 'within("tilt.damped.exponent", 0.0, 1.0)', 'within("tilt.damped.exponent", 0.0, 3.0)'),
    ("tilt.crossflow.power", INCLUDE + "tilt.hpp", "axial_cd * cosine * cosine * cosine + b", "axial_cd * cosine * cosine + b"),
    ("tilt.measured_to", INCLUDE + "tilt.hpp", "return to.value() <= limit;", "return to.value() <= 2.0 * limit;"),
    ("tilt_draw.sine", SRC + "tilt_draw.hpp", "sin_cos_2pi(theta * (0.5 / pi))", "sin_cos_2pi(theta * (1.0 / pi))"),
    ("tilt_draw.mode", SRC + "tilt_draw.hpp", "(draw.z1 * part[2] + draw.z2 * part[3])", "(draw.z1 * part[2] - draw.z2 * part[2])"),
    ("tilt_draw.exponent", SRC + "tilt_draw.hpp", "draw.model == 0.0 ? 1.0 : draw.exponent", "draw.model == 1.0 ? 1.0 : draw.exponent"),
    ("tilt_draw.slope", SRC + "tilt_draw.hpp", "to.slope_term / from.slope_term", "from.slope_term / to.slope_term"),
    ("tilt_draw.slope.sd", SRC + "tilt_draw.cpp", 'c.sd("tilt.slope") * per_unit', '0.1 * c.sd("tilt.slope") * per_unit'),
    ("tilt_draw.exponent.sd", SRC + "tilt_draw.cpp", 'c.sd("tilt.damped.exponent"), 0.0, 1.0', '3.0 * c.sd("tilt.damped.exponent"), 0.0, 1.0'),
    ("tilt_draw.crossflow.sd", SRC + "tilt_draw.cpp", 'c.sd("tilt.crossflow.cd"), 0.3, 2.4', '0.0, 0.3, 2.4'),
    ("tilt_draw.body.sd", SRC + "tilt_draw.cpp", "Input::normal(body_name, 0.0, 1.0)", "Input::normal(body_name, 0.0, 0.5)"),
    ("tilt_draw.factor", SRC + "tilt_draw.cpp", "crossflow_efficiency(shape.fineness) * shape.area_ratio)", "shape.area_ratio)"),
    # --- vector math
    ("vector_math.exp", SRC + "vector_math.hpp", "1.0 + (r + r * r * Q)", "1.0 + (r + r * Q)"),
    ("vector_math.log", SRC + "vector_math.hpp", "e * ln2_high + (f - (s * (f - R) - e * ln2_low))", "e * ln2_high + (f - (s * (f - R) + e * ln2_low))"),
    ("vector_math.quadrant", SRC + "vector_math.hpp", "(((q + 1) & 2) << 62)", "((q & 2) << 62)"),
    # --- uncertainty
    ("uncertainty.box_muller", SRC + "uncertainty.cpp", "std::sqrt(-2.0 * kernel::log_positive(a.x[i]))", "std::sqrt(-1.9 * kernel::log_positive(a.x[i]))"),
    ("uncertainty.interval", SRC + "uncertainty.cpp", "(M - q + 1) / 2", "(M - q) / 2"),
    ("uncertainty.covered", SRC + "uncertainty.cpp", "static_cast<double>(M) + 0.5)", "static_cast<double>(M) - 0.5)"),
    ("uncertainty.median", SRC + "uncertainty.cpp", "{r - 1, (M - 1) / 2, M / 2, r + q - 1}", "{r - 1, M / 2, M / 2, r + q - 1}"),
    ("uncertainty.shortest", SRC + "uncertainty.cpp", "y[r + q] - y[r] < y[best + q] - y[best]", "y[r + q] - y[r] > y[best + q] - y[best]"),
    ("uncertainty.choice", SRC + "uncertainty.cpp", "u.x[i] >= cumulative ? 1.0 : 0.0", "u.x[i] < cumulative ? 1.0 : 0.0"),
    ("uncertainty.sd", SRC + "uncertainty.cpp", "squares / static_cast<double>(y.size() - 1)", "squares / static_cast<double>(y.size() / 2)"),
    ("uncertainty.adjusted", SRC + "uncertainty.cpp", "(n - 1.0) / (n - p - 1.0))", "1.0)"),
    ("uncertainty.cubic", SRC + "uncertainty.cpp", "s.part[4][l] += x2 * x3", "s.part[4][l] += x2 * x2"),
    # --- area
    ("area.half", SRC + "area.cpp", "2.0 * std::max(s.right - std::max(s.left, 0.0), 0.0)", "2.0 * std::max(s.right - s.left, 0.0)"),
    ("area.lean", SRC + "area.cpp", "result.lean = (uy * uz + vy * vz) / half_height", "result.lean = (uy * uz - vy * vz) / half_height"),
    ("area.view", SRC + "area.cpp", "{std::cos(incline), 0.0, -std::sin(incline)}", "{std::cos(incline), 0.0, std::sin(incline)}"),
    ("area.modes.steps", SRC + "area.cpp", "(sample(pose(changed, level)) - base) / steps", "(sample(pose(changed, level)) - base)"),
    ("area.modes.variance", SRC + "area.cpp", "std::sqrt(variance) * solver.eigenvectors()", "variance * solver.eigenvectors()"),
    ("area.quadrature", SRC + "area.cpp", "sum * half * 4.0 / (nodes + 1)", "sum * half * 4.0 / nodes"),
    # --- body
    ("body.average.sd", SRC + "body.cpp", "std::sqrt(within + square(half_gap))", "std::sqrt(within)"),
    ("body.regression", SRC + "body.cpp", "row.c0 + row.c1 * ln_stature + row.c2 * ln_mass", "row.c0 + row.c1 * ln_stature + row.c1 * ln_mass"),
    ("body.child", SRC + "body.cpp", "stature_ < metres(1.45) || mass_ < kilograms(40.0)", "stature_ < metres(1.45) && mass_ < kilograms(40.0)"),
    ("body.clarys", SRC + "body.cpp", "(100.0 * stature_.value())", "(10.0 * stature_.value())"),
    # --- posture
    ("posture.mitre", SRC + "posture.cpp", "(dot(*axis, mitre) / dot(along, mitre)) * along", "(dot(*axis, mitre) / dot(mitre, mitre)) * along"),
    ("posture.head", SRC + "posture.cpp", "{std::cos(lift), 0, std::sin(lift)}", "{std::cos(lift), 0, -std::sin(lift)}"),
    ("posture.spread", SRC + "posture.cpp", "about_z(p - hip, -spread)", "about_z(p - hip, spread)"),
    ("posture.knee", SRC + "posture.cpp", "thigh_angle - posture_.knee_bend.value()", "thigh_angle + posture_.knee_bend.value()"),
    ("posture.moment", SRC + "posture.cpp", "(weight * 0.25 * pi) * (dot(du, n)", "(weight * 0.5 * pi) * (dot(du, n)"),
    ("posture.girth", SRC + "posture.cpp", "std::min(0.5 * depth, girth / (2.0 * pi))", "std::min(0.5 * depth, girth / pi)"),
    # --- resistance
    ("resistance.form", SRC + "resistance.cpp", "std::pow(thickness, 1.5)", "std::pow(thickness, 2.5)"),
    ("resistance.sample", SRC + "resistance.cpp", '- C_F * c.value("resistance.passive.wetted_over_projected")', '+ C_F * c.value("resistance.passive.wetted_over_projected")'),
    ("resistance.arms", SRC + "resistance.cpp", "ratio * (C_P * projected_area(stretched)", "1.0 / ratio * (C_P * projected_area(stretched)"),
    ("resistance.wave", SRC + "resistance.cpp", "share / (1.0 - share)", "share / (1.0 + share)"),
    ("resistance.validity", SRC + "resistance.cpp", "v.value() >= 0.8 && v.value() <= 2.3", "v.value() >= 0.5 && v.value() <= 3.0"),
    ("resistance.perturbation", SRC + "resistance.cpp", "std::pow(v_b.value(), n + 1.0)", "std::pow(v_b.value(), n)"),
    ("resistance.power", SRC + "resistance.cpp", "-1.0 / (n + 1.0)) - 1.0", "-1.0 / (n + 2.0)) - 1.0"),
    ("resistance.stroke.sd", SRC + "resistance.cpp", "0.5 * std::abs(by_planimetry - by_perturbation)", "0.0 * std::abs(by_planimetry - by_perturbation)"),
    # --- breath
    ("breath.pulse", INCLUDE + "breath.hpp", "0.5 * (1.0 + std::cos(2.0 * pi * x))", "0.5 * (1.0 + std::cos(pi * x))"),
    ("breath.cycle", INCLUDE + "breath.hpp", "stroke == Stroke::crawl || stroke == Stroke::back ? 2.0 : 1.0", "stroke == Stroke::crawl || stroke == Stroke::back ? 1.0 : 2.0"),
    ("breath.rarely", INCLUDE + "breath.hpp", "stroke == Stroke::crawl ? 5 : 3", "stroke == Stroke::crawl ? 6 : 3"),
    ("breath.overlap", INCLUDE + "breath.hpp", "return std::min(sum, 1.0)", "return std::min(sum, 2.0)"),
    # --- stroke
    ("stroke.lag", SRC + "stroke.cpp", "t - lowest_at, spacing, width", "t + lowest_at, spacing, width"),
    ("stroke.step", SRC + "stroke.cpp", "q * (2.0 / 5.0 - q * 17.0 / 105.0)", "q * (2.0 / 5.0 + q * 17.0 / 105.0)"),
    ("stroke.cv", SRC + "stroke.cpp", "sums.square / sums.time - mean * mean", "sums.square / sums.time - 0.9 * mean * mean"),
    ("stroke.peak", SRC + "stroke.cpp", "(fastest - slowest) / (2.0 * mean)", "(fastest - slowest) / mean"),
    ("stroke.second_pulse", SRC + "stroke.cpp", "width, 1.0 - share}}}", "width, share}}}"),
    ("stroke.arms", SRC + "stroke.cpp", "{{0.25, width, arm}, {0.75, width, arm}}", "{{0.25, width, arm}, {0.70, width, arm}}"),
    ("cycle.added_mass", SRC + "cycle.cpp", "kilograms(added_mass)", "kilograms(0.0 * added_mass)"),
    ("cycle.spread", SRC + "cycle.cpp", 'cycle.value() * c.value("stroke.cycle_spread")', '0.0 * c.value("stroke.cycle_spread")'),
    # --- swim
    ("swim.worn.draws", SRC + "swim.cpp", "out[0] * in[factor]) + worn", "out[0] * in[factor])"),
    ("swim.worn.point", SRC + "swim.cpp", "Force const worn = swim.added_k * square(v)", "Force const worn = 2.0 * swim.added_k * square(v)"),
    ("swim.waves.sd", SRC + "swim.cpp", 'c.value("resistance.wave.log_odds_sd"))', '0.1 * c.value("resistance.wave.log_odds_sd"))'),
    ("swim.incline.common", SRC + "swim.cpp", "std::sqrt(1.0 - common * common)", "std::sqrt(1.0 + common * common)"),
    ("swim.friction", SRC + "swim.cpp", "out[3] = immersed - out[2]", "out[3] = immersed"),
    ("swim.population", SRC + "swim.cpp", "1.0 / std::sqrt(static_cast<double>(n))", "1.0 / static_cast<double>(n)"),
    # --- balance
    ("balance.head_radius", SRC + "balance.cpp", "stature().value() * (1.0 - 0.5 * head)", "stature().value() * (1.0 - head)"),
    ("balance.lung_base", SRC + "balance.cpp", "xiphoid_ - std::clamp(lungs_below_xiphoid, 0.0, 0.9)", "xiphoid_ + std::clamp(lungs_below_xiphoid, 0.0, 0.9)"),
    ("balance.disc", SRC + "balance.cpp", "-2.0 / 3.0 * e * e * e", "2.0 / 3.0 * e * e * e"),
    ("balance.legs", SRC + "balance.cpp", "density * (1.0 + filling.leg_density_excess)", "density * (1.0 - filling.leg_density_excess)"),
    ("balance.inertia", SRC + "balance.cpp", "along / 12.0 + across / 4.0", "along / 3.0 + across / 4.0"),
    ("balance.waterplane", SRC + "balance.cpp", "rho_ * g * (w.plane_xx - heave)", "rho_ * g * w.plane_xx"),
    ("balance.moment", SRC + "balance.cpp", "moment_x += force.up * at.x", "moment_x -= force.up * at.x"),
    ("balance.pulse", SRC + "balance.cpp", "0.5 * p * (a * sin_t - b * cos_t)", "0.5 * p * (a * sin_t + b * cos_t)"),
    ("balance.lungs.sd", SRC + "balance.cpp", "0.5 * std::hypot(total_sd, residual_sd)", "0.1 * std::hypot(total_sd, residual_sd)"),
    # --- aids
    ("aids.worn", SRC + "aids.cpp", "per_k * change.worn_area * x.worn_factor", "2.0 * per_k * change.worn_area * x.worn_factor"),
    ("aids.power", SRC + "aids.cpp", "body + a * u * u + t) - 1.0", "body + a * u + t) - 1.0"),
    ("aids.ride", SRC + "aids.cpp", "double const ride = -change.lift", "double const ride = change.lift"),
    ("aids.density", SRC + "aids.cpp", "0.5 * swim.water.density.value() * effect.drag_area_m2.median", "swim.water.density.value() * effect.drag_area_m2.median"),
    ("aids.wake", SRC + "aids.cpp", 'towed_cd(drogue.shape, c) * c.value("aids.drogue.wake")', "towed_cd(drogue.shape, c)"),
    ("aids.towed.sd", SRC + "aids.cpp", 'std::hypot(towed_sd, relative("aids.drogue.wake"))', "towed_sd"),
    # --- race
    ("race.walls", INCLUDE + "race.hpp", "wall_m * (lengths - 1)", "wall_m * lengths"),
    ("race.under", INCLUDE + "race.hpp", "(distance + under / ratio) / (time_s - dead)", "(distance + under * ratio) / (time_s - dead)"),
    ("race.turns", INCLUDE + "race.hpp", "first_off + (lengths - 1) * turn_m", "first_off + lengths * turn_m"),
    ("race.guess", SRC + "race.cpp", "static_cast<double>(other.distance) / known.distance", "static_cast<double>(known.distance) / other.distance"),
    ("race.fastest", SRC + "race.cpp", "fastest = 2.6, slowest = 0.2", "fastest = 3.6, slowest = 0.2"),
    ("race.splits", SRC + "race.cpp", "std::abs(sum - time.value()) < 0.05", "std::abs(sum - time.value()) < 0.5"),
    # --- cost
    ("cost.slowdown", SRC + "cost.cpp", "closure[i] == 0.0 ? 1.0 : 0.0", "closure[i] == 0.0 ? 0.0 : 1.0"),
    ("cost.sign", SRC + "cost.cpp", "request_.time_includes_fault ? -1.0 : 1.0", "request_.time_includes_fault ? 1.0 : -1.0"),
    ("cost.duty", SRC + "cost.cpp", "steady ? 1.0 : in[leg.width][i] * breaths", "steady ? 1.0 : in[leg.width][i]"),
    ("cost.fade", SRC + "cost.cpp", "fade * (0.5 - through)", "fade * (through - 0.5)"),
    ("cost.drop.sd", SRC + "cost.cpp", "std::min(reading, drop * c.value", "std::max(reading, drop * c.value"),
    ("cost.levels", SRC + "cost.cpp", "theta0[i] + levels[j] * delta[i]) - rest)", "theta0[i] + delta[i]) - rest)"),
    # --- evidence
    ("evidence.resolution", SRC + "evidence.cpp", 'Input::normal("resolution of the study", 0.0, *se)', 'Input::normal("resolution of the study", 0.0, 3.0 * *se)'),
    ("evidence.arms", SRC + "evidence.cpp", "sides.posture.arms = Arms::at_sides", "sides.posture.arms = Arms::overhead"),
    ("evidence.octaves", SRC + "evidence.cpp", "(c.drag_at(c.second_speed()).passive, c.drag_at(c.speed()).passive,", "(c.drag_at(c.speed()).passive, c.drag_at(c.second_speed()).passive,"),
    # --- rows of the sources table
    ("sources.added_mass", INCLUDE + "sources.hpp", '"added_mass.men", 0.268,', '"added_mass.men", 0.168,'),
    ("sources.siri", INCLUDE + "sources.hpp", '"balance.siri.offset", 450,', '"balance.siri.offset", 420,'),
    ("sources.pulse", INCLUDE + "sources.hpp", '"breath.pulse_width.crawl", 0.45, 0.10,', '"breath.pulse_width.crawl", 0.45, 0.01,'),
    ("sources.exponent", INCLUDE + "sources.hpp", '"race.drag_exponent", 2.2, 0.3,', '"race.drag_exponent", 2.2, 0.03,'),
    ("sources.cd", INCLUDE + "sources.hpp", '"resistance.passive.cd", 0.458,', '"resistance.passive.cd", 0.558,'),
    ("sources.slope", INCLUDE + "sources.hpp", '"tilt.slope", 3.25,', '"tilt.slope", 2.25,'),
    ("sources.tanaka", INCLUDE + "sources.hpp", '"water.tanaka.a2", 301.797,', '"water.tanaka.a2", 301.997,'),
]
# fmt: on

MUTANTS = [Mutant(*row) for row in LISTED]
