"""Arrays: every function of numbers broadcasts, keeps shapes, copies nothing that it need not, and gives the
numbers of the scalar call; threads of Python and of the library give the same numbers and let each other run.

Shapes are NumPy's rules ("common practice"); equality with the scalar call is bit for bit, by definition of a
function of its elements.
"""

import inspect
import itertools
import signal
import sys
import threading
import time
import tracemalloc
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas
import pint
import pytest
import xarray

import libdrag
from libdrag import Area, Body, DragCoefficient, Swim, _formulas

BODY = Body("f", 1.72, 63)
WATER = libdrag.water(25.0)


def drag_numbers(drag):
    return [drag.total_N, drag.friction_N, drag.pressure_N, drag.wave_N, drag.k_kg_m, drag.within_validity,
            drag.low_N,
            drag.median_N, drag.high_N]  # fmt: skip


def point_numbers(drag):
    return [drag.total_N, drag.friction_N, drag.pressure_N, drag.wave_N, drag.k_kg_m]


def water_numbers(w):
    return [w.temperature_c, w.density_kg_m3, w.viscosity_Pa_s, w.kinematic_viscosity_m2_s, w.within_validity]


# Name: the function of its array arguments, four values of each (every combination is possible), and whether
# an element takes less than a microsecond or so.
TABLE = {
    "drag_force_N": (lambda v, a: libdrag.drag_force_N(v, a, WATER),
                     ([0.5, 1.0, 1.5, 2.0], [0.01, 0.02, 0.03, 0.05]), True),
    "drag_force_N by area": (
        lambda v, a: libdrag.drag_force_N(v, DragCoefficient(1, "wetted") * Area(a, "wetted")),
        ([0.5, 1.0, 1.5, 2.0], [0.06, 0.07, 0.08, 0.1]), True),
    "speed_specific_drag_kg_m": (libdrag.speed_specific_drag_kg_m,
                                 ([10.0, 20.0, 30.0, 40.0], [1.0, 1.2, 1.5, 2.0]), True),
    "reynolds": (lambda v, x: libdrag.reynolds(v, x, WATER), ([0.5, 1.0, 1.5, 2.0], [1.5, 1.7, 2.0, 2.3]),
                 True),
    "friction_coefficient": (libdrag.friction_coefficient, ([1e5, 3e5, 1e6, 3e6],), True),
    **{f"friction_coefficient {line}": (lambda x, line=line: libdrag.friction_coefficient(x, line),
                                        ([1e5, 3e5, 1e6, 3e6],), False)
       for line in ("hughes", "schoenherr", "prandtl-schlichting", "transition", "blasius")},
    "form_factor": (libdrag.form_factor, ([0.1, 0.15, 0.2, 0.3],), True),
    "active_factor": (lambda v: libdrag.active_factor(v, "crawl", "residual-thrust"), ([0.8, 1.2, 1.5, 2.0],),
                      True),
    "drag_by_perturbation_N": (libdrag.drag_by_perturbation_N,
                               ([4.0, 5.0, 6.0, 7.0], [1.5, 1.6, 1.7, 1.8], [1.2, 1.3, 1.4, 1.45],
                                [1.8, 2.0, 2.2, 2.4]), True),
    "drag_by_assisted_tow_N": (libdrag.drag_by_assisted_tow_N,
                               ([4.0, 5.0, 6.0, 7.0], [1.2, 1.3, 1.4, 1.5], [1.6, 1.7, 1.8, 1.9]), True),
    "speed_change_at_power": (libdrag.speed_change_at_power, ([-0.1, 0.0, 0.1, 0.3], [1.8, 2.0, 2.2, 2.4]),
                              True),
    "speed_change_at_thrust": (libdrag.speed_change_at_thrust, ([-0.1, 0.0, 0.1, 0.3], [1.8, 2.0, 2.2, 2.4]),
                               True),
    "crossflow_efficiency": (libdrag.crossflow_efficiency, ([2.0, 6.0, 12.0, 30.0],), True),
    "froude": (libdrag.froude, ([0.5, 1.0, 1.5, 2.0], [1.5, 1.7, 2.0, 2.3]), True),
    "hull_speed_m_s": (libdrag.hull_speed_m_s, ([1.5, 1.7, 2.0, 2.3],), True),
    "transverse_wavelength_m": (libdrag.transverse_wavelength_m, ([0.5, 1.0, 1.5, 2.0],), True),
    "transverse_wavelength_m of depth": (libdrag.transverse_wavelength_m,
                                         ([0.5, 1.0, 1.5, 5.0], [0.5, 1.0, 2.0, 3.0]), False),
    "wave_share": (libdrag.wave_share, ([0.1, 0.25, 0.35, 0.6],), True),
    "wave_depth_factor": (libdrag.wave_depth_factor, ([0.5, 1.0, 1.5, 2.0], [0.0, 0.3, 0.6, 2.0]), True),
    "havelock_spheroid": (lambda *a: libdrag.havelock_spheroid(*a, WATER),
                          ([0.5, 1.0, 1.5, 2.0], [1.5, 2.0, 2.3, 3.0], [0.2, 0.3, 0.4, 0.5],
                           [0.4, 0.6, 1.0, 2.0]), False),
    "havelock_sphere": (lambda *a: libdrag.havelock_sphere(*a, WATER),
                        ([0.5, 1.0, 1.5, 2.0], [0.2, 0.3, 0.4, 0.5], [0.4, 0.6, 1.0, 2.0]), False),
    "spheroid_added_mass": (libdrag.spheroid_added_mass, ([1.5, 2.0, 2.3, 3.0], [0.2, 0.3, 0.4, 0.5]), False),
    "swimmer_added_mass_kg": (lambda m: libdrag.swimmer_added_mass_kg(m, "f"), ([45.0, 55.0, 65.0, 90.0],),
                              True),
    "ellipsoid_projected_area_m2": (libdrag.ellipsoid_projected_area_m2,
                                    ([1.0, 1.1, 1.2, 2.0], [0.2, 0.3, 0.4, 0.5], [0.1, 0.15, 0.2, 0.25],
                                     [-20.0, 0.0, 7.3, 90.0]),
                                    True),
    "ellipsoid_surface_m2": (libdrag.ellipsoid_surface_m2,
                             ([1.0, 1.1, 1.2, 2.0], [0.2, 0.3, 0.4, 0.5], [0.1, 0.15, 0.2, 0.25]), False),
    "hip_drop_level": (libdrag.hip_drop_level, ([-0.3, 0.0, 0.1, 7.2], [0.5, 1.0, 1.5, 2.0],
                                                [0.2, 0.3, 0.45, 0.9]), True),
    "breath_shares": (lambda w: libdrag.breath_shares("every-3", "crawl", w), ([0.1, 0.3, 0.45, 0.9],), True),
    "advance": (libdrag.advance, ([60.0, 70.0, 80.0, 90.0], [-5.0, 0.0, 40.0, 80.0], [15.0, 20.0, 25.0, 30.0],
                                  [1.0, 1.3, 1.5, 1.8],
                                  [0.0, 0.1, 0.3, 0.5]), True),
    "siri_density_kg_m3": (libdrag.siri_density_kg_m3, ([8.0, 12.0, 20.0, 35.0],), True),
    "lung_volumes": (lambda age: libdrag.lung_volumes(BODY, age), ([18.0, 25.0, 40.0, 70.0],), True),
    "guessed_time_s": (lambda t: libdrag.guessed_time_s("100 free", t, "400 free"),
                       ([50.0, 58.3, 62.4, 80.0],), True),
    "passive_drag": (lambda *a: drag_numbers(libdrag.passive_drag(BODY, *a, draws=100)),
                     ([0.5, 1.0, 1.5, 2.0], [0.0, 5.0, 9.7, 30.0], [0.0, 0.2, 0.6, 2.0]), False),
    "passive_drag own incline": (lambda v, h: drag_numbers(libdrag.passive_drag(BODY, v, None, h, draws=100)),
                                 ([0.5, 1.0, 1.5, 2.0], [0.0, 0.2, 0.6, 2.0]), False),
    "passive_drag points": (lambda *a: point_numbers(libdrag.passive_drag(BODY, *a)),
                            ([0.5, 1.0, 1.5, 2.0], [0.0, 5.0, 9.7, 30.0], [0.0, 0.2, 0.6, 2.0]), True),
    "active_drag": (lambda *a: (lambda d: [d.total_N, d.k_kg_m, d.low_N, d.median_N,
                                           d.high_N])(libdrag.active_drag(BODY, *a, draws=100)),
                    ([0.5, 1.0, 1.5, 2.0], [0.0, 5.0, 9.7, 30.0], [0.0, 0.2, 0.6, 2.0]), False),
    "tilt_ratio": (lambda to, from_: libdrag.tilt_ratio(BODY, to, from_),
                   ([0.0, 5.0, 9.7, 30.0], [0.0, 1.0, 3.3, 12.0]), True),
    **{f"tilt_ratio {model}": (lambda to, model=model: libdrag.tilt_ratio(BODY, to, model=model),
                               ([0.0, 5.0, 9.7, 30.0],), False)
       for model in ("projected", "damped", "slope", "crossflow")},
    "Body.projected_area_m2": (lambda x: BODY.projected_area_m2(x, "mid-stroke"), ([-10.0, 0.0, 7.3, 60.0],),
                               False),
    "Body.areas": (lambda x: BODY.areas(x)["projected"].m2, ([-10.0, 0.0, 7.3, 60.0],), False),
    "water": (lambda t: water_numbers(libdrag.water(t)), ([0.0, 18.3, 27.0, 40.0],), True),
    "water sea": (lambda t: water_numbers(libdrag.water(t, kind="sea")), ([0.0, 18.3, 27.0, 40.0],), True),
    "DragCoefficient times Area": (lambda c, a: DragCoefficient(c, "wetted") * Area(a, "wetted"),
                                   ([0.01, 0.02, 0.03, 0.04], [1.5, 1.6, 1.7, 1.8]), True),
}  # fmt: skip
NOT_OF_NUMBERS = {
    "breaths_per_cycle",
    "dimension_list",
    "events",
    "format_time",
    "pulse_width_cycles",
    "usual_breathing",
}
each = pytest.mark.parametrize("name", TABLE)


def test_every_function_of_numbers_is_here():
    functions = {
        name
        for name, value in vars(_formulas).items()
        if inspect.isfunction(value)
        and not name.startswith("_")
        and value.__code__.co_filename == _formulas.__file__
    }
    assert len(functions) > 30 and functions <= set(libdrag.__all__)
    tried = {name.split()[0] for name in TABLE}
    assert functions <= tried | NOT_OF_NUMBERS, functions - tried - NOT_OF_NUMBERS
    assert {"passive_drag", "active_drag", "tilt_ratio", "Body.projected_area_m2", "water"} <= tried
    assert not tried & NOT_OF_NUMBERS
    # and every parameter that is said to take arrays
    for name in functions - NOT_OF_NUMBERS:
        taken = max(len(values) for known, (_, values, _) in TABLE.items() if known.split()[0] == name)
        arrays = [
            p
            for p in inspect.signature(getattr(libdrag, name)).parameters.values()
            if "Array" in str(p.annotation)
        ]
        assert taken == len(arrays), (name, arrays)


def parts(result):
    """The numbers of a result: floats and bools, or arrays of one shape."""
    return list(result) if isinstance(result, (tuple, list)) else [result]


def same(one, other):
    """Equal in type, shape and every bit; NaNs too."""
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return one.dtype == other.dtype and one.shape == other.shape and one.tobytes() == other.tobytes()
    return type(one) is type(other) and np.float64(one).tobytes() == np.float64(other).tobytes()


def all_same(one, other):
    return len(parts(one)) == len(parts(other)) and all(map(same, parts(one), parts(other)))


def element_by_element(function, arrays):
    """The scalar calls, put together."""
    arrays = np.broadcast_arrays(*arrays)
    rows = [parts(function(*map(float, x))) for x in zip(*(a.ravel() for a in arrays))]
    for row in rows:
        assert all(type(x) in (float, bool) for x in row), row
    return [np.array(column).reshape(arrays[0].shape) for column in zip(*rows)]


# --- shapes -----------------------------------------------------------------------------------------


@each
def test_scalars_give_floats(name):
    function, values, _ = TABLE[name]
    x = [v[1] for v in values]
    want = parts(function(*x))
    assert all(type(y) in (float, bool) for y in want)
    for convert in (
        np.float64,
        np.array,
        lambda v: np.array([[v]])[0, 0],
        lambda v: np.array(v, dtype=">f8"),
        np.longdouble,
    ):
        assert all_same(function(*map(convert, x)), want)


@each
def test_one_dimension_is_the_scalar_calls(name):
    function, values, _ = TABLE[name]
    want = element_by_element(function, [np.array(v) for v in values])
    assert all_same(function(*map(np.array, values)), want)
    assert all_same(function(*values), want)  # lists
    assert all_same(function(*map(tuple, values)), want)
    # the first an array, the rest scalars; and the other way round
    for k in range(len(values)):
        arguments = [np.array(v) if j == k else v[2] for j, v in enumerate(values)]
        assert all_same(function(*arguments), element_by_element(function, arguments))


@each
def test_shapes_broadcast(name):
    function, values, _ = TABLE[name]
    shapes = [(3, 1), (4,), (), (1, 1, 1), (2, 1, 1)]
    arguments = [np.resize(v, shape) for v, shape in zip(values, shapes)]
    got = parts(function(*arguments))
    assert all_same(got, element_by_element(function, arguments))
    assert {y.shape for y in got} == {np.broadcast_shapes(*(a.shape for a in arguments))}
    if len(values) > 1:
        assert got[0].shape[-2:] == (3, 4)
    as_lists = [a.tolist() for a in arguments]
    assert all_same(function(*as_lists), got)
    for shape in ((1,), (1, 1), (2, 1, 3)):
        arguments = [np.resize(v, shape) for v in values]
        assert all(y.shape == shape for y in parts(function(*arguments)))


@each
def test_nothing_gives_nothing(name):
    function, values, _ = TABLE[name]
    plain = [v[0] for v in values]
    for empty in ([], np.zeros((0,)), np.zeros((2, 0)), np.zeros((0, 3)), [[], []]):
        got = parts(function(empty, *plain[1:]))
        assert all(y.shape == np.shape(empty) for y in got)
        assert [y.dtype for y in got] == [y.dtype for y in parts(function(np.array(values[0]), *plain[1:]))]
    if len(values) > 1:
        got = parts(function(np.resize(values[0], (3, 1)), [], *plain[2:]))
        assert all(y.shape == (3, 0) for y in got)


# Linear waves, by definition: c2 = g / k tanh(k h) for the wave that keeps up with the body, at every depth
# of water that such a wave can run in, and none beyond.
def test_waves_of_all_depths():
    depth = np.geomspace(0.1, 50.0, 23)[:, None]
    speed = np.linspace(0.02, 1.2, 400) * np.sqrt(9.80665 * depth)
    length = libdrag.transverse_wavelength_m(speed, depth)
    below = speed < np.sqrt(9.80665 * depth)
    assert np.isnan(length[~below]).all() and np.isfinite(length[below]).all()
    k, h = 2 * np.pi / length[below], np.broadcast_to(depth, speed.shape)[below]
    assert np.allclose(np.sqrt(9.80665 / k * np.tanh(k * h)), speed[below], rtol=1e-9)


# --- dtypes and layouts -----------------------------------------------------------------------------


@each
def test_numbers_of_other_types_are_their_values(name):
    function, values, _ = TABLE[name]
    for dtype in ("f4", "f2", ">f8", ">f4"):
        arguments = [np.array(v).astype(dtype) for v in values]
        with np.errstate(over="ignore"):
            possible = all(np.isfinite(a).all() for a in arguments)
        if possible:
            assert all_same(function(*arguments), function(*(a.astype(float) for a in arguments))), dtype


# Of long doubles as of all floats: the nearest double, in an array as alone.
@pytest.mark.parametrize(
    "name", ["hull_speed_m_s", "froude", "passive_drag points", "water", "DragCoefficient times Area"]
)
def test_long_doubles(name):
    function, values, _ = TABLE[name]
    assert all_same(function(*(np.array(v, np.longdouble) for v in values)), function(*values))


# Whole numbers, where they can be given: the first argument of most functions.
@pytest.mark.parametrize("name, whole", [
    ("hull_speed_m_s", [1, 2, 3]), ("froude", [1, 2, 3]), ("passive_drag points", [1, 2, 3]),
    ("siri_density_kg_m3", [8, 12, 200]),
    ("friction_coefficient", [1000, 100000, 2**24]), ("water", [0, 27, 40]),
    ("Body.projected_area_m2", [0, 9, 60]),
    ("tilt_ratio", [0, 9, 60]), ("advance", [60, 70, 80]), ("guessed_time_s", [55, 60, 100]),
    ("swimmer_added_mass_kg", [50, 60, 100]),
])  # fmt: skip
def test_whole_numbers(name, whole):
    function, values, _ = TABLE[name]
    rest = [v[0] for v in values[1:]]
    want = function(np.array(whole, dtype=float), *rest)
    for dtype in ("i1", "u1", "i2", "u2", "i4", "u4", "i8", "u8", ">i4"):
        if max(whole) <= np.iinfo(dtype).max:
            assert all_same(function(np.array(whole, dtype), *rest), want), dtype
    assert all_same(function(whole, *rest), want)
    assert all_same(function(whole[1], *rest), function(float(whole[1]), *rest))
    assert all_same(function(np.int32(whole[1]), *rest), function(float(whole[1]), *rest))


@each
def test_layout_does_not_matter(name):
    function, values, _ = TABLE[name]
    grid = [np.resize(v, (4, 6)) for v in values]
    want = function(*(np.ascontiguousarray(a) for a in grid))

    def spaced(a):  # every second of a wider array, NaN in between
        wide = np.full((8, 18), np.nan)
        wide[::2, ::3] = a
        return wide[::2, ::3]

    def backwards(a):
        return np.ascontiguousarray(a[::-1, ::-1])[::-1, ::-1]

    def frozen(a):
        a = a.copy()
        a.flags.writeable = False
        return a

    def unaligned(a):
        raw = np.zeros(a.nbytes + 1, np.uint8)[1:]
        out = raw.view(float).reshape(a.shape)
        out[...] = a
        assert not out.flags.aligned
        return out

    def field(a):  # of a structured array
        out = np.zeros(a.shape, dtype=[("n", "i2"), ("x", float)])
        out["x"] = a
        return out["x"]

    for layout in (
        np.asfortranarray,
        spaced,
        backwards,
        frozen,
        unaligned,
        field,
        lambda a: a.T.copy().T,
        lambda a: a[:].view(),
    ):
        arguments = [layout(a) for a in grid]
        assert all_same(function(*arguments), want), layout
    # and mixed
    layouts = itertools.cycle((np.asfortranarray, spaced, lambda a: a, backwards))
    assert all_same(function(*(layout(a) for layout, a in zip(layouts, grid))), want)
    # one row for all, without a copy of it
    rows = [np.broadcast_to(np.array(v), (5, 4)) for v in values]
    assert all_same(function(*rows), function(*(r.copy() for r in rows)))


@each
def test_inputs_stay_as_they_were_and_outputs_are_new(name):
    function, values, _ = TABLE[name]
    arguments = [np.array(v) for v in values]
    copies = [a.copy() for a in arguments]
    results = [y for y in parts(function(*arguments)) if y.dtype == float]
    assert all(same(a, b) for a, b in zip(arguments, copies))
    kept = name.split()[0] in ("passive_drag", "active_drag", "water", "Body.areas")  # by a result
    for y in results:
        assert y.flags.c_contiguous and y.flags.aligned
        assert y.flags.writeable or kept
        assert not any(np.shares_memory(y, a) for a in arguments)


# --- memory -----------------------------------------------------------------------------------------

CHEAP = [name for name, (_, _, cheap) in TABLE.items() if cheap]


def peak_bytes(function, arguments):
    """Most memory allocated at a time by a call, and what its results hold."""
    tracemalloc.start()
    try:
        before = tracemalloc.get_traced_memory()[0]
        tracemalloc.reset_peak()
        result = function(*arguments)
        return tracemalloc.get_traced_memory()[1] - before, result
    finally:
        tracemalloc.stop()


# Arrays beside the results: of validity a number before a bool is made of it, which passive drag keeps. A
# value that is asked again later (a drag for its interval, an area for its product) may keep its inputs.
MORE = {
    "water": 1,
    "water sea": 1,
    "lung_volumes": 1,
    "passive_drag points": 4,  # its arguments, and the validity
    "DragCoefficient times Area": 2,
}


# A copy of any input would be seen.
@pytest.mark.parametrize(
    "name", [name for name in CHEAP if name != "drag_force_N by area"]
)  # NumPy's own product
def test_contiguous_doubles_are_not_copied(name):
    function, values, _ = TABLE[name]
    n = 40_000
    arguments = [np.resize(v, n) for v in values]
    function(*arguments)  # a hull is made once
    peak, result = peak_bytes(function, arguments)
    held = sum(y.nbytes for y in parts(result)) + 8 * n * MORE.get(name, 0)
    assert peak <= held + 4 * n, (peak, held)
    if name not in MORE:  # the measure does see a copy
        peak, _ = peak_bytes(function, [arguments[0].astype(">f8"), *arguments[1:]])
        assert peak >= held + 6 * n, (peak, held)


def most_memory_of_the_process():
    with open("/proc/self/status") as status:
        return next(1024 * int(line.split()[1]) for line in status if line.startswith("VmHWM"))


# The same of what Python does not see: 40 MB in, and no more than the results out.
def test_forty_megabytes_are_not_copied():
    n = 5_000_000
    inclined = Swim(BODY, incline_deg=5)  # her own: that of a towed body takes long to find, for every speed
    speeds, areas, lengths = np.full(n, 1.5), np.full(n, 0.03), np.full(n, 2.0)
    for call, inputs, arrays, kept in (
        (libdrag.drag_force_N, (speeds, areas), 1, 0), (libdrag.froude, (speeds, lengths), 1, 0),
        (libdrag.hull_speed_m_s, (lengths,), 1, 0), (lambda v: libdrag.passive_drag(inclined, v), (speeds,), 5, 1),
    ):  # fmt: skip
        call(*(x[:20000] for x in inputs))
        with open("/proc/self/clear_refs", "w") as most:
            most.write("5")  # forget the peak
        before = most_memory_of_the_process()
        peak, result = peak_bytes(call, inputs)
        assert 8 * n * arrays <= peak < 8 * n * (arrays + kept) + 1_000_000, (peak, arrays)
        assert most_memory_of_the_process() - before < 8 * n * (arrays + kept) + 8_000_000
        del result


def test_scalars_beside_an_array_take_no_memory():
    n = 1_000_000
    peak, result = peak_bytes(libdrag.advance, (70.0, np.full(n, 40.0), 25.0, 1.5, 0.3))
    assert peak < 2 * 8 * n + 100_000 and result.speed_m_s.shape == (n,)


# --- threads ----------------------------------------------------------------------------------------


# More elements than one thread takes at a time (thousands of cheap ones, a few of dear ones) against pieces
# that one thread does alone.
@each
def test_many_threads_give_the_numbers_of_one(name):
    function, values, cheap = TABLE[name]
    n, piece = (30_000, 3_000) if cheap else (150, 10)
    draw = np.random.default_rng(1)
    arguments = [draw.choice(v, n) * (1 + 1e-6 * draw.random(n)) for v in values]
    arguments = [np.clip(a, min(v), max(v)) for a, v in zip(arguments, values)]
    whole = parts(function(*arguments))
    pieces = [parts(function(*(a[i : i + piece] for a in arguments))) for i in range(0, n, piece)]
    for k, y in enumerate(whole):
        assert same(y, np.concatenate([p[k] for p in pieces]))
    assert all_same(function(*arguments), whole)
    # and a shape that is cut across rows
    assert all_same([y.ravel() for y in parts(function(*(a.reshape(10, -1) for a in arguments)))], whole)


def in_threads(count, function):
    """function(0) ... function(count - 1), all begun at the same moment."""
    barrier = threading.Barrier(count)

    def run(i):
        barrier.wait()
        return function(i)

    with ThreadPoolExecutor(count) as pool:
        return list(pool.map(run, range(count)))


# Its hull, its postures and its words are made when they are first needed.
@pytest.mark.parametrize("question", [
    lambda body: libdrag.passive_drag(body, np.linspace(0.5, 2.0, 50)).total_N,
    lambda body: np.array(libdrag.passive_drag(body, 1.5, draws=300).high_N),
    lambda body: libdrag.active_drag(body, np.linspace(0.5, 2.0, 50)).total_N,
    lambda body: libdrag.tilt_ratio(body, np.linspace(0.0, 30.0, 50)),
    lambda body: body.projected_area_m2(np.linspace(0.0, 30.0, 40)),
    lambda body: np.array([body.volume_m3, body.wetted_area_m2,
                           body.posed("mid-stroke", 5.0).projected_area_m2]),
    lambda body: libdrag.cost(body, event="100 free", time_s=62.4, hip_drop_deg=4, draws=500).draws,
    lambda body: libdrag.sweep(body, event="100 free", time_s=[62.4, 60.0], hip_drop_deg=4, draws=500),
    lambda body: libdrag.drag(body, 1.5, draws=500).draws["active_N"],
    lambda body: libdrag.stroke(body, 1.5, draws=100).draws["centre_of_mass_cv"],
    lambda body: np.array([str(body), body._repr_html_(), body.to_json()]),
], ids=["passive", "interval", "active", "tilt", "area", "posed", "cost", "sweep", "drag", "stroke",
        "words"])  # fmt: skip
def test_one_new_body_asked_by_eight_threads(question):
    want = question(Body("m", 1.83, 78, {"chest_girth": 1.02}))
    body = Body("m", 1.83, 78, {"chest_girth": 1.02})
    assert all(same(got, want) for got in in_threads(8, lambda _: question(body)))
    swim = Swim(body, tilt_model="projected")
    if "cost" in inspect.getsource(question):
        first = in_threads(
            8, lambda _: libdrag.cost(swim, event="100 free", time_s=62.4, hip_drop_deg=4, draws=300).draws
        )
        assert all(same(got, first[0]) for got in first)


def test_one_result_asked_by_eight_threads():
    want = libdrag.passive_drag(BODY, [1.0, 1.5, 2.0], draws=500).low_N
    result = libdrag.passive_drag(BODY, [1.0, 1.5, 2.0], draws=500)
    assert all(same(got, want) for got in in_threads(8, lambda _: result.low_N))


def test_threads_with_questions_of_their_own():
    function = TABLE["havelock_sphere"][0]
    depths = [np.linspace(0.5, 1.0 + i, 300) for i in range(8)]
    want = [function(1.5, 0.4, depth) for depth in depths]
    assert all(map(all_same, in_threads(8, lambda i: function(1.5, 0.4, depths[i])), want))


# Long loops and runs do without Python's lock, so that other threads of the program go on meanwhile.
@pytest.mark.parametrize("call", [
    lambda n: libdrag.havelock_spheroid(np.linspace(1.0, 2.0, 250 * n), 2.0, 0.4, 0.6),
    lambda n: BODY.projected_area_m2(np.linspace(0.0, 30.0, 500 * n)),
    lambda n: libdrag.cost(BODY, event="100 free", time_s=62.4, hip_drop_deg=4, draws=50_000 * n,
                           threads=1).median,
    lambda n: libdrag.drag(BODY, 1.5, draws=30_000 * n, threads=1).active_N,
    lambda n: libdrag.stroke(BODY, 1.5, draws=150 * n, threads=1).hip_cv,
    lambda n: libdrag.passive_drag(BODY, 1.5, draws=30_000 * n).low_N,
    lambda n: libdrag.aids(BODY, 1.5, libdrag.Belt(2.0), draws=3_000 * n, threads=1).breath_cost,
    lambda n: libdrag.sweep(BODY, event="100 free", time_s=np.linspace(60, 70, 2 * n), hip_drop_deg=4),
], ids=["havelock", "area", "cost", "drag", "stroke", "interval", "aids", "sweep"])  # fmt: skip
def test_other_threads_run_meanwhile(call):
    ticks, stop = itertools.count(), threading.Event()
    counted = 0

    def tick():
        nonlocal counted
        while not stop.is_set():
            counted = next(ticks)
            time.sleep(0)  # gives the lock away

    call(1)
    counter = threading.Thread(target=tick)
    before = sys.getswitchinterval()
    try:
        sys.setswitchinterval(1000.0)  # seconds: nobody loses the lock who does not give it away
        counter.start()
        calls = 0
        while counted <= 4 * calls + 20 and calls < 400:
            call(4)
            calls += 1
        # Held all the time, the lock would let no tick through; given away for a moment, one or two a call.
        assert counted > 4 * calls
    finally:
        sys.setswitchinterval(before)
        stop.set()
        counter.join()


# What Ctrl-C does: the handler's exception comes out of the call. Each would take minutes; that it ends is what is
# tested, and no clock is looked at.
RACE = {"event": "100 free", "time_s": 62.4}
FAULT = {**RACE, "hip_drop_deg": 4}


def slow(x):
    return x["a"] + sum(np.sin(x["a"]) for _ in range(500))


@pytest.mark.parametrize("call", [
    lambda: libdrag.havelock_spheroid(np.full(5_000_000, 1.5), 2.0, 0.4, 0.6),
    lambda: BODY.projected_area_m2(np.full(2_000_000, 5.0)),
    lambda: libdrag.sweep(BODY, event="100 free", time_s=np.full(5_000, 62.4), hip_drop_deg=4, draws=1_000_000),
    lambda: libdrag.cost(BODY, **RACE, hip_drop_deg=np.full(1_000, 4.0), draws=100, within_stroke=True),
    lambda: libdrag.cost(BODY, **RACE, hip_drop_deg=4, draws=10_000_000, threads=1),
    lambda: libdrag.stroke(BODY, 1.5, hip_drop_deg=4, draws=1_000_000),
    lambda: libdrag.drag(BODY, 1.5, draws=10_000_000, threads=1),
    lambda: libdrag.aids(BODY, 1.5, want="x1.5", draws=5_000_000, threads=1),
    lambda: libdrag.implied_hip_drop(BODY, 62.0, **RACE, draws=5_000_000, threads=1),
    lambda: libdrag.wanted_gain(BODY, 0.1, **FAULT, draws=5_000_000, threads=1),
    lambda: libdrag.passive_drag(BODY, np.full(20_000, 1.5), draws=100_000).low_N,
    lambda: libdrag.passive_drag(BODY, 1.5, draws=10_000_000).low_N,
    lambda: libdrag.froude(["1.5m/s"] * 30_000_000, 2.0),
    lambda: libdrag.propagate(slow, {"a": libdrag.Input.normal(0, 1)}, draws=10_000_000),
], ids=["havelock", "area", "sweep", "costs", "cost", "stroke", "drag", "aids", "implied", "wanted",
        "intervals", "interval", "texts", "propagate"])  # fmt: skip
def test_a_signal_ends_a_long_call(call):
    heard = []

    def handler(number, frame):
        if not heard:
            heard.append(number)
            raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, handler)
    try:
        with pytest.raises(KeyboardInterrupt):
            signal.setitimer(signal.ITIMER_REAL, 0.1)
            call()
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        signal.signal(signal.SIGALRM, before)
    assert heard
    assert libdrag.havelock_spheroid(1.5, 2.0, 0.4, 0.6).resistance_N > 0.0


# --- numbers that are none, and arrays that are more than numbers -------------------------------------


# IEEE 754: what is made of no number is no number; the others do not notice, and it is never within validity.
@each
def test_nan_in_nan_out(name):
    function, values, _ = TABLE[name]
    for k in range(len(values)):
        arguments = [np.array(v) for v in values]
        want = parts(function(*arguments))
        arguments[k][1] = np.nan
        for got, whole in zip(parts(function(*arguments)), want):
            assert np.isnan(got[1]) if got.dtype == float else not got[1]
            assert same(np.delete(got, 1), np.delete(whole, 1))
        alone = parts(function(*(v[0] if j != k else np.nan for j, v in enumerate(values))))
        assert all(y is False or np.isnan(y) for y in alone)


LABELLED = {
    "masked": lambda v: np.ma.masked_array(v, mask=[False, True, False, False]),
    "Series": lambda v: pandas.Series(v, index=list("abcd")),
    "nullable": lambda v: pandas.Series([*v[:3], None], dtype="Float64"),
    "DataArray": lambda v: xarray.DataArray(v, dims=["x"], coords={"x": [1, 2, 3, 4]}),
    "masked quantity": lambda v: pint.Quantity(np.ma.masked_array(v, mask=False), "m/s"),
    "list of Series": lambda v: [pandas.Series(v), pandas.Series(v)],
}


@pytest.mark.parametrize("kind", LABELLED)
@pytest.mark.parametrize("call", [
    lambda v: libdrag.passive_drag(BODY, v), lambda v: Area(v, "projected"), lambda v: libdrag.interval(v),
    lambda v: libdrag.what_if(BODY, v, **RACE, draws=100),
    lambda v: libdrag.cost(BODY, event="100 free", time_s=v, hip_drop_deg=4, draws=100),
    lambda v: libdrag.periodic_motion(70, v, 60.0, 25.0), lambda v: libdrag.Input.choice(v),
    lambda v: libdrag.cost(BODY, event="200 IM", time_s=150, hip_drop_deg=4, splits_s=v, draws=100),
], ids=["passive_drag", "Area", "interval", "what_if", "cost", "periodic_motion", "choice", "splits"])  # fmt: skip
def test_a_mask_an_index_or_dimensions_are_not_stripped(call, kind):
    with pytest.raises((libdrag.InvalidInput, TypeError)) as caught:
        call(LABELLED[kind]([30.0, 37.0, 43.0, 40.0]))
    assert len(str(caught.value)) < 300
    if kind in ("masked", "Series", "DataArray"):
        assert "would be lost" in str(caught.value) and "allowed: plain numbers, as" in str(caught.value)


def test_a_missing_value_is_no_number():
    for missing in (pandas.NA, np.ma.masked, None, pandas.NaT):
        with pytest.raises((libdrag.InvalidInput, TypeError)):
            libdrag.froude(missing, 2.0)
        with pytest.raises((libdrag.InvalidInput, TypeError)):
            libdrag.froude([1.0, missing], 2.0)


def test_a_range_is_its_numbers():
    assert all_same(libdrag.froude(range(1, 4), 2.0), libdrag.froude([1, 2, 3], 2.0))
    ladder = libdrag.what_if(BODY, range(1, 3), **RACE, draws=100)
    grid = libdrag.sweep(BODY, event="100 free", time_s=range(60, 62), hip_drop_deg=2, draws=100)
    assert ladder["hip_drop_deg"].tolist() == [1.0, 2.0] and grid["time_s"].tolist() == [60.0, 61.0]
