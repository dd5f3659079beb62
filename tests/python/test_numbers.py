"""The library's numbers against general-purpose libraries: SciPy's integrators and quadrature, IAPWS and TEOS-10 for
water, and a Monte Carlo of the same race in plain NumPy. The formulas are written out here again, from their sources."""

import gsw
import iapws
import numpy as np
import pytest
from scipy import integrate, special, stats

import libdrag

# iapws calls functions that newer versions of SciPy will not have.
pytestmark = pytest.mark.filterwarnings("ignore::DeprecationWarning:iapws.*")

G = 9.80665  # m/s2, exact by definition (3rd CGPM 1901)


@pytest.fixture(scope="module")
def body():
    return libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)


# --- water ------------------------------------------------------------------------------------------


def test_fresh_water_against_iapws95():
    """IAPWS-95 and R12-08 as the iapws package has them, at 0.101325 MPa; the pool's range."""
    t = np.array([15.0, 20.0, 25.0, 27.0, 30.0, 35.0])
    ours = libdrag.water(t)
    theirs = [iapws.IAPWS95(T=273.15 + x, P=0.101325) for x in t]
    np.testing.assert_allclose(ours.density_kg_m3, [w.rho for w in theirs], rtol=2e-6)
    np.testing.assert_allclose(ours.viscosity_Pa_s, [w.mu for w in theirs], rtol=2e-4)


def test_sea_water_against_teos10():
    """TEOS-10 as gsw has it, 35.16504 g/kg absolute salinity at the surface; EOS-80 differs by under 20 g/m3."""
    t = np.array([10.0, 15.0, 20.0, 25.0, 30.0])
    conservative = gsw.CT_from_t(35.16504, t, 0.0)
    theirs = gsw.rho(35.16504, conservative, 0.0)
    np.testing.assert_allclose(libdrag.water(t, kind="sea").density_kg_m3, theirs, atol=0.02)


# --- waves ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("speed, depth", [(1.2, 0.4), (2.0, 0.5), (3.0, 0.9)])
def test_havelock_sphere_by_quadrature(speed, depth):
    """Havelock 1917: R = 4 pi rho g a6 k0^3 int_0^{pi/2} sec5 exp(-2 k0 f sec2)."""
    a, water = 0.2, libdrag.water()
    k0 = G / speed**2
    # With t = tan: sec5 dtheta = sec3 dt.
    wave, _ = integrate.quad(lambda t: (1 + t * t) ** 1.5 * np.exp(-2 * k0 * depth * (1 + t * t)), 0, np.inf)
    expected = 4 * np.pi * water.density_kg_m3 * G * a**6 * k0**3 * wave
    ours = libdrag.havelock_sphere(speed, 2 * a, depth, water)
    assert ours.resistance_N == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("speed, depth", [(1.6, 0.3), (2.0, 0.4), (2.6, 0.6)])
def test_havelock_spheroid_by_quadrature(speed, depth):
    """Havelock 1931 in the form with J_{3/2} over the wave angle."""
    length, diameter, water = 2.3, 0.3, libdrag.water()
    a = length / 2
    e = np.sqrt(1 - (diameter / length) ** 2)
    inverse = 4 * e / (1 - e * e) - 2 * np.log((1 + e) / (1 - e))
    k0 = G / speed**2

    def integrand(t):
        sec = np.sqrt(1 + t * t)
        return np.exp(-2 * k0 * depth * sec**2) * special.jv(1.5, k0 * a * e * sec) ** 2

    wave, _ = integrate.quad(integrand, 0, np.inf, limit=400)
    expected = water.density_kg_m3 * G * a**3 * 128 * np.pi**2 * e**3 / inverse**2 * wave
    ours = libdrag.havelock_spheroid(speed, length, diameter, depth, water)
    assert ours.resistance_N == pytest.approx(expected, rel=1e-7)


# --- the stroke's equation of motion ----------------------------------------------------------------


def integrated(mass, durations, thrusts, ks, v0):
    """Speeds at the ends of the phases by SciPy, phase by phase: no step crosses a jump of thrust."""
    v, distance, out = v0, 0.0, [v0]
    for duration, thrust, k in zip(durations, thrusts, ks):
        run = integrate.solve_ivp(
            lambda _, y: [(thrust - k * y[0] * abs(y[0])) / mass, y[0]], (0, duration), [v, 0.0], "DOP853",
            rtol=1e-12, atol=1e-12,
        )  # fmt: skip
        v, distance = run.y[0, -1], distance + run.y[1, -1]
        out.append(v)
    return np.array(out), distance


def test_periodic_motion_against_solve_ivp():
    """m dv/dt = T - k v2 in phases: driving, coasting and braking; and the end is the beginning."""
    mass, durations = 80.0, np.array([0.2, 0.25, 0.15, 0.5])
    thrusts, ks = np.array([180.0, 40.0, -25.0, 70.0]), np.array([30.0, 34.0, 30.0, 27.0])
    ours = libdrag.periodic_motion(mass, durations, thrusts, ks)
    speeds, distance = integrated(mass, durations, thrusts, ks, ours.v_m_s[0])
    np.testing.assert_allclose(ours.v_m_s, speeds, rtol=1e-9)
    assert speeds[-1] == pytest.approx(speeds[0], rel=1e-9)
    assert ours.mean_speed_m_s == pytest.approx(distance / durations.sum(), rel=1e-9)


def test_smooth_stroke_against_solve_ivp():
    """Raised cosines of thrust in 400 exact steps against one adaptive integration of the smooth curve."""
    mass, period, k, n = 78.0, 1.15, 31.0, 400

    def thrust(t):
        return 70.0 * (1 + np.cos(2 * np.pi * t / period))

    middles = (np.arange(n) + 0.5) * period / n
    ours = libdrag.periodic_motion(mass, period / n, thrust(middles), k)
    run = integrate.solve_ivp(
        lambda t, y: [(thrust(t) - k * y[0] ** 2) / mass], (0, period), [ours.v_m_s[0]], "DOP853",
        t_eval=ours.t_s.clip(0, period), rtol=1e-11, atol=1e-11,
    )  # fmt: skip
    np.testing.assert_allclose(ours.v_m_s, run.y[0], rtol=2e-5)


def test_advance_against_solve_ivp():
    """One step, for thrust that drives, is absent and brakes."""
    for thrust in (150.0, 0.0, -40.0):
        speeds, distance = integrated(75.0, [0.4], [thrust], [28.0], 1.6)
        ours = libdrag.advance(75.0, thrust, 28.0, 1.6, 0.4)
        assert ours.speed_m_s == pytest.approx(speeds[-1], rel=1e-10)
        assert ours.distance_m == pytest.approx(distance, rel=1e-10)


# --- geometry ---------------------------------------------------------------------------------------


def test_ellipsoid_surface_against_quadrature():
    """Surface of an ellipsoid by integrating its parametrisation."""
    a, b, c = 0.95, 0.22, 0.12

    def element(v, u):
        su, cu, sv, cv = np.sin(u), np.cos(u), np.sin(v), np.cos(v)
        return su * np.sqrt((b * c * su * cv) ** 2 + (a * c * su * sv) ** 2 + (a * b * cu) ** 2)

    surface, _ = integrate.dblquad(element, 0, np.pi, 0, 2 * np.pi)
    assert libdrag.ellipsoid_surface_m2(a, b, c) == pytest.approx(surface, rel=1e-6)


def test_silhouette_of_a_body_lies_between_its_sections(body):
    """Elementary geometry: at 90 degrees to the trunk one sees the planform, so sin(theta) of it bounds the tilt."""
    inclines = np.linspace(0, 60, 13)
    area = body.projected_area_m2(inclines)
    assert np.all(np.diff(area) > 0)
    assert np.all(area >= body.planform_area_m2 * np.sin(np.radians(inclines)) * 0.98)


# --- Monte Carlo ------------------------------------------------------------------------------------


def test_cost_against_numpy_monte_carlo(body):
    """The race of the README with the slope model, drawn by NumPy's generator from the table's numbers: medians and
    ends of intervals agree within 5 standard errors of the ranks of both."""
    draws, rng, table = 200_000, np.random.default_rng(20), libdrag.sources()

    def normal(key, low=-np.inf, high=np.inf, value=None, sd=None):
        row = table[key]
        return np.clip(
            rng.normal(row.used if value is None else value, row.used_sd if sd is None else sd, draws),
            low,
            high,
        )

    drop = normal("breath.measured_drop.sd", 4e-6, value=4.0, sd=1.0)  # deg; SD 1 deg = a quarter of the drop
    slope = normal("tilt.slope", 0, 3 * table["tilt.slope"].used) / 100  # per deg
    incline = table[
        "posture.incline.crawl"
    ]  # of one swimmer: the mean is open by `used_sd`, swimmers differ beside it
    common = table["posture.incline.common_share"].value
    own = normal(incline.key, 0, 45, sd=np.hypot(incline.used_sd, incline.sd * np.sqrt(1 - common**2)))
    width = normal("breath.pulse_width.crawl", 0.1, 0.95)
    exponent = normal("race.drag_exponent", 1, 4)
    thrust = rng.random(draws) < table["race.thrust_closure_weight"].used
    start, turn = normal("race.start_underwater", 0, 20), normal(
        "race.turn_underwater", 0, 15, sd=table["race.turn_underwater"].sd
    )
    dead = normal("race.start_dead_time", 0, 2) + normal(
        "race.turn_dead_time", 0, 3, sd=table["race.turn_dead_time"].sd
    )
    ratio = normal("race.underwater_speed_ratio", 0.8, 2)
    within = normal("breath.within_stroke.crawl", 0)  # when in the stroke the breath falls

    under = start + turn
    distance = 100 - under - table["race.turn_wall_distance"].value
    surface_s = (62.40 - dead) * distance / (distance + under / ratio)
    # A raised cosine spends its time so that the mean level is one half; slope is linear in the angle.
    extra = width * 0.5 * slope * drop / (1 + slope * own)
    cost = within * surface_s * (1 - (1 + extra) ** (-1 / (exponent + ~thrust)))

    ours = libdrag.cost(
        libdrag.Swim(body, tilt_model="slope"), event="100 free", time_s=62.40, hip_drop_deg=4, draws=draws
    )
    for level, value in ((0.025, ours.low), (0.5, ours.median), (0.975, ours.high)):
        spread = np.sqrt(level * (1 - level) / draws)
        beside = np.quantile(cost, [level - spread, level + spread])
        standard_error = np.sqrt(2) * 0.5 * (beside[1] - beside[0])
        assert abs(value - np.quantile(cost, level)) < 5 * standard_error
    assert stats.ks_2samp(ours.draws, cost).pvalue > 1e-6


def test_propagate_against_exact_moments():
    """A sum of a normal, a uniform and a lognormal of SciPy has the sum of their means and variances (by definition),
    and each explains its own variance."""
    odd = stats.lognorm(0.25)
    result = libdrag.propagate(
        lambda x: x["a"] + x["b"] + x["c"],
        {"a": libdrag.Input.normal(2.0, 0.3), "b": libdrag.Input.uniform(0, 1), "c": odd},
        draws=100_000,
    )
    variance = 0.3**2 + 1 / 12 + odd.var()
    assert result.mean == pytest.approx(2.0 + 0.5 + odd.mean(), abs=5 * np.sqrt(variance / 1e5))
    assert result.standard_uncertainty**2 == pytest.approx(variance, rel=0.03)
    shares = dict(result.because)
    for name, own in (("a", 0.09), ("b", 1 / 12), ("c", odd.var())):
        assert shares[name] == pytest.approx(own / variance, abs=0.02)
    assert result.in_combination < 0.02


def test_interval_against_numpy_quantiles():
    """JCGM 101:2008, 7.7: ends are values of the sample; NumPy's inverted CDF differs by a rank or two."""
    sample = np.random.default_rng(3).gamma(2.0, size=10_001)
    got = libdrag.interval(sample, level=0.9)
    assert got.median == np.median(sample)
    for end, level in ((got.low, 0.05), (got.high, 0.95)):
        assert end in sample
        ranks = np.searchsorted(np.sort(sample), [end, np.quantile(sample, level)])
        assert abs(int(ranks[0]) - int(ranks[1])) <= 2


def test_a_towed_body_lies_flatter_the_faster_it_goes():
    # Zamparo et al. 2009: trunk incline falls with speed; a stated incline and a glide stay as they are.
    body = libdrag.Body(sex="m", stature_m=1.8, mass_kg=75)
    speeds = np.array([0.9, 1.3, 1.5, 2.0])
    drags = [libdrag.drag(body, v, draws=100) for v in speeds]
    assert np.all(np.diff([d.towed_incline_deg for d in drags]) < 0)
    assert all(
        d.incline_deg == pytest.approx(libdrag.sources()["posture.incline.crawl"].used, rel=1e-12)
        for d in drags
    )
    passive = libdrag.passive_drag(body, speeds).total_N
    assert passive == pytest.approx([d.passive_point_N for d in drags], rel=1e-12)
    towed = [d.towed_incline_deg for d in drags]
    assert passive == pytest.approx(libdrag.passive_drag(body, speeds, towed).total_N, rel=1e-12)
    for swim in (libdrag.Swim(body, incline_deg=9), libdrag.Swim(body, depth_m=1.0)):
        held = libdrag.drag(swim, 2.0, draws=100)
        assert held.towed_incline_deg == held.incline_deg
        assert libdrag.passive_drag(swim, 2.0).total_N == pytest.approx(held.passive_point_N, rel=1e-12)
