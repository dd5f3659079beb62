"""What must hold for every swimmer, whatever the numbers: signs and orders that are common practice, and what follows
from the definitions."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

import libdrag

few = settings(max_examples=25, deadline=None, derandomize=True, database=None)

bodies = st.builds(
    lambda sex, stature, index: libdrag.Body(sex, stature, index * stature**2),
    st.sampled_from(["f", "m", "average"]),
    st.floats(1.5, 2.0),
    st.floats(18.0, 28.0),
)
speeds = st.floats(0.8, 2.2)
inclines = st.floats(0.0, 14.0)


@few
@given(bodies, speeds, inclines, st.floats(0.0, 2.0))
def test_drag_grows_with_speed_and_incline_and_falls_with_depth(body, v, theta, depth):
    drag = libdrag.passive_drag(body, [v, 1.05 * v], theta, depth).total_N
    assert drag[1] > drag[0] > 0
    tilted = libdrag.passive_drag(body, v, [theta, theta + 1.0], depth).total_N
    assert tilted[1] > tilted[0]
    deeper = libdrag.passive_drag(body, v, theta, [depth, depth + 0.5]).total_N
    assert deeper[1] <= deeper[0]


@few
@given(bodies, speeds, inclines)
def test_the_parts_make_the_whole(body, v, theta):
    drag = libdrag.passive_drag(body, v, theta)
    assert np.isclose(drag.friction_N + drag.pressure_N + drag.wave_N, drag.total_N, rtol=1e-12)
    assert np.isclose(drag.k_kg_m * v**2, drag.total_N, rtol=1e-12)


@few
@given(bodies, inclines, inclines, inclines, st.sampled_from(["projected", "damped", "slope", "crossflow"]))
def test_tilt_ratios_chain(body, a, b, c, model):
    """By definition: from a to c is from a to b and from b to c."""

    def ratio(start, end):
        return libdrag.tilt_ratio(body, end, start, model=model)

    assert np.isclose(ratio(a, c), ratio(a, b) * ratio(b, c), rtol=1e-9)
    assert np.isclose(ratio(a, b) * ratio(b, a), 1.0, rtol=1e-9)


@few
@given(bodies, st.floats(0.5, 6.0), st.floats(54.0, 75.0), st.integers(2, 4))
def test_a_deeper_drop_costs_more_and_more_breaths_cost_more(body, drop, time, every):
    """Common practice; and the first degree already has a price."""
    race = dict(event="100 free", time_s=time, draws=1000)
    shallow, deep = libdrag.what_if(body, [drop, 1.2 * drop], breathe=f"every-{every}", **race).median
    assert 0 < shallow < deep
    rarer = libdrag.cost(body, hip_drop_deg=drop, breathe=f"every-{every + 1}", **race)
    assert rarer.median < shallow
    assert libdrag.cost(body, hip_drop_deg=drop, breathe="never", **race).median == 0.0


@few
@given(bodies, st.floats(1.0, 5.0), st.floats(54.0, 75.0))
def test_the_absolute_drag_cancels(body, drop, time):
    """The swimmer's own k and the method it was measured by change drag, and not a digit of the cost."""
    race = dict(event="100 free", time_s=time, hip_drop_deg=drop, draws=1000)
    plain = libdrag.cost(body, **race)
    measured = libdrag.cost(libdrag.Swim(body, k_kg_m=45.0, method="perturbation"), **race)
    assert np.array_equal(plain.draws, measured.draws)


@few
@given(bodies, st.floats(1.0, 5.0), st.floats(54.0, 75.0))
def test_a_wanted_gain_leaves_what_it_says(body, drop, time):
    """Half of the cost is gained by about half of the drop."""
    race = dict(event="100 free", time_s=time, hip_drop_deg=drop, draws=1000)
    cost = libdrag.cost(body, **race)
    half = libdrag.wanted_gain(body, 0.5 * cost.median, **race)
    assert half.reachable and 0.5 < half.chance <= 1.0
    assert 0.0 <= half.hip_drop_left_deg.median <= drop


@few
@given(st.floats(5.0, 35.0))
def test_warm_water_is_lighter_and_thinner(t):
    cold, warm = libdrag.water(t), libdrag.water(t + 0.5)
    assert warm.density_kg_m3 < cold.density_kg_m3 and warm.viscosity_Pa_s < cold.viscosity_Pa_s


@few
@given(bodies)
def test_a_longer_or_heavier_swimmer_is_larger(body):
    heavier = body.replace(mass_kg=1.05 * body.mass_kg)
    assert heavier.volume_m3 > body.volume_m3 and heavier.wetted_area_m2 > body.wetted_area_m2
    assert body.projected_area_m2() < body.planform_area_m2 < 0.5 * body.wetted_area_m2
