"""Units: pint quantities and text wherever a parameter carries a unit in its name, quantities out on request,
kinds of area that do not mix, and values of the uncertainties package.
"""

import functools
import inspect
import itertools
import re

import numpy as np
import pint
import pytest
from uncertainties import UFloat

import libdrag
from libdrag import Area, Belt, Body, Buoy, Composition, DragCoefficient, Swim, Tether, with_units
from test_bad_input import CALLS, DRAG, complaint, judged, seen_at_the_pool, typed

# A unit that is lost on the way would be a wrong answer.
pytestmark = pytest.mark.filterwarnings("error::pint.UnitStrippedWarning")

REGISTRY = pint.UnitRegistry()
Q = REGISTRY.Quantity
BODY = Body("f", 1.72, 63)

# End of a parameter's name: the unit as pint reads it and as the library's parser reads it, another unit, a
# unit of another dimension, and how a message writes the wanted one.
UNITS = {
    "_m_s": ("m/s", "m/s", "km/hour", "m", "m/s"),
    "_kg_m": ("kg/m", "kg/m", "pound/foot", "kg", "kg/m"),
    "_m2": ("m**2", "m2", "cm**2", "m", "m2"),
    "_m3": ("m**3", "m3", "liter", "m**2", "m3"),
    "_deg": ("degree", "deg", "radian", "kg", "deg"),
    "_kg": ("kg", "kg", "pound", "N", "kg"),
    "_c": ("degC", "C", "degF", "s", "C"),
    "_N": ("N", "N", "lbf", "kg", "N"),
    "_m": ("m", "m", "foot", "s", "m"),
    "_s": ("s", "s", "minute", "m", "s"),
    "_percent": (None, "%", "mm/m", "kg", "%"),  # not every pint knows per cent: a ratio
    "_years": ("year", None, "month", "m", "years"),
}
# What a message calls a parameter, where it is the command line's option and not the parameter's name without
# the unit.
ALSO = {
    "gain_s": "want", "Frame.at_s": "time", "Belt.mass_kg": "belt", "at_m": "(belt|buoy|sleeve).at",
    "drag_area_m2": "drag.area|shorts.area",
    "opening_m2": "bowl", "pull_N": "tether", "volume_m3": "buoy|sleeve", "m2": "area",
}  # fmt: skip


def quantity(value, unit):
    """A number of a parameter as a pint quantity in the parameter's own unit."""
    return Q(value, unit) if unit else Q(0.01 * value, "dimensionless")


def unit_of(parameter):
    return next((unit for end, unit in UNITS.items() if f"_{parameter}".endswith(end)), None)


# A parameter of one callable once.
CASES = list({
    (name.split()[0], key, name.endswith("several")): (name, call, kwargs, key)
    for name, call, kwargs in reversed(CALLS)
    for key, value in kwargs.items()
    if isinstance(value, float) and unit_of(key)
}.values())[::-1]  # fmt: skip
IDS = [f"{name}.{key}" for name, _, _, key in CASES]
LISTS = {"duration_s", "thrust_N", "splits_s", "drops_deg"}  # tried below


def test_every_parameter_with_a_unit_is_tried():
    tried = {key for _, _, _, key in CASES} | LISTS
    for name in libdrag.__all__:
        value = getattr(libdrag, name)
        if inspect.isfunction(value) or (
            inspect.isclass(value) and not issubclass(value, (tuple, BaseException))
        ):
            try:
                parameters = inspect.signature(value).parameters
            except ValueError:
                continue
            for parameter in parameters:
                assert parameter in tried or not unit_of(parameter), (name, parameter)
    for method in (Body.posed, Body.projected_area_m2, Body.areas, Body.replace):
        parameters = inspect.signature(method).parameters.values()
        assert all(p.name in tried or p.kind is p.VAR_KEYWORD for p in parameters if unit_of(p.name))


@functools.cache
def what_it_does(x):
    """The numbers behind an aid, or what a swimmer is made of: once for all that are equal."""
    worn = {"worn": Buoy(0.002), "composition": x} if isinstance(x, Composition) else {"worn": x}
    return flat(libdrag.aids(BODY, 1.5, draws=100, **worn))


def flat(x):
    """All numbers of a result, by its public attributes."""
    if x is None or isinstance(x, (bool, np.bool_, str)):
        return []
    if isinstance(x, (int, float)):
        return [float(x)]
    if isinstance(x, np.ndarray):
        if x.dtype.names:
            return [number for name in x.dtype.names for number in flat(x[name])]
        return x.ravel().tolist() if x.dtype.kind == "f" else []
    if isinstance(x, dict):
        return [number for part in x.values() for number in flat(part)]
    if isinstance(x, (list, tuple)):
        return [number for part in x for number in flat(part)]
    if isinstance(x, (libdrag.Aid, Composition)):
        return what_it_does(x)
    if isinstance(x, Swim):
        return [
            *x.own_incline_deg(),
            libdrag.passive_drag(x, 1.5).total_N,
            libdrag.active_drag(x, 1.5).total_N,
        ]
    if isinstance(x, libdrag.Picture):  # what it says it shows
        return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", x.description)]
    words = {"html", "svg"} if isinstance(x, libdrag.Card) else set()  # drawn when they are read
    found = {name: getattr(x, name) for name in dir(x) if not name.startswith("_") and name not in words}
    return [number for name, part in found.items() if not callable(part) for number in flat(part)]


def same(one, other):
    return one == other if isinstance(one, str) else np.array_equal(flat(one), flat(other), equal_nan=True)


def close(one, other):
    return (
        one == other
        if isinstance(one, str)
        else np.allclose(flat(one), flat(other), 1e-9, 1e-12, equal_nan=True)
    )


def worked(call, kwargs):
    result = call(**kwargs)
    assert isinstance(result, str) or flat(result)
    return result


@functools.cache
def known(name):
    """What a call of the table answers: once for all of its parameters."""
    call, kwargs = next((call, kwargs) for each, call, kwargs in CALLS if each == name)
    result = worked(call, kwargs)
    return result if isinstance(result, str) else flat(result)


# --- pint in ----------------------------------------------------------------------------------------


# By definition: a quantity in the parameter's own unit is the number, and in another unit the same quantity.
@pytest.mark.parametrize("name, call, kwargs, key", CASES, ids=IDS)
def test_a_quantity_is_its_number(name, call, kwargs, key):
    own, _, other, _, _ = unit_of(key)
    want, agree = known(name), same if own else close
    assert agree(worked(call, {**kwargs, key: quantity(kwargs[key], own)}), want)
    if key in ("time_s", "time_without_s"):  # which belong to splits and to other times
        assert close(worked(call, {**kwargs, key: quantity(kwargs[key], own).to(other)}), want)
        return
    # and a smaller quantity is a smaller number
    smaller = 0.99 * kwargs[key]
    want = worked(call, {**kwargs, key: smaller})
    assert close(worked(call, {**kwargs, key: quantity(smaller, own).to(other)}), want)


# International yard and pound (1959), ITS-90 and the SI Brochure: exact by definition.
@pytest.mark.parametrize("call, quantity, number", [
    (lambda x: Body("f", x, 63).stature_m, Q(172, "cm"), 1.72),
    (lambda x: Body("f", x, 63).stature_m, Q(6, "foot"), 1.8288),
    (lambda x: Body("f", x, 63).stature_m, Q(70, "inch"), 1.778),
    (lambda x: Body("f", 1.72, x).mass_kg, Q(100, "pound"), 45.359237),
    (lambda x: Body("f", 1.72, x).mass_kg, Q(63000, "gram"), 63.0),
    (lambda x: libdrag.water(x).temperature_c, Q(80.6, "degF"), 27.0),
    (lambda x: libdrag.water(x).temperature_c, Q(300.15, "kelvin"), 27.0),
    (lambda x: libdrag.froude(x, 2.0) * np.sqrt(9.80665 * 2.0), Q(5.4, "km/hour"), 1.5),
    (lambda x: libdrag.Posture(roll_deg=x).roll_deg, Q(np.pi / 6, "radian"), 30.0),
    (lambda x: libdrag.Posture(roll_deg=x).roll_deg, Q(1800, "arcminute"), 30.0),
    (lambda x: Swim(BODY, k_kg_m=x).k_kg_m, Q(280, "g/cm"), 28.0),
    (lambda x: libdrag.speed_specific_drag_kg_m(x, 1.0), Q(1, "kN"), 1000.0),
    (lambda x: Area(x, "wetted").m2, Q(16600, "cm**2"), 1.66),
    (lambda x: libdrag.advance(70, 50, 25, 1.5, x).distance_m / libdrag.advance(70, 50, 25, 1.5,
                                                                                0.3).distance_m,
     Q(0.005, "minute"), 1.0),
    (lambda x: libdrag.cost(BODY, event="100 free", time_s=x, hip_drop_deg=4, draws=100).time_s,
     Q(1.04, "minute"), 62.4),
    (lambda x: libdrag.cost(BODY, event="100 free", time_s=60, hip_drop_deg=x, draws=100).hip_drop_deg,
     Q(0.05, "radian"),
     np.degrees(0.05)),
])  # fmt: skip
def test_conversions(call, quantity, number):
    assert call(quantity) == pytest.approx(number, rel=1e-12)


@pytest.mark.parametrize("name, call, kwargs, key", CASES, ids=IDS)
def test_a_wrong_dimension_is_refused_by_name_and_units(name, call, kwargs, key):
    _, _, _, wrong, wanted = unit_of(key)
    given = Q(2.5, wrong)
    with pytest.raises(libdrag.InvalidInput) as caught:
        call(**{**kwargs, key: given})
    assert judged(caught.value) is None
    field, rest = str(caught.value).split(": ", 1)
    bare = next(key[: -len(end)] for end in UNITS if f"_{key}".endswith(end)) if key != "m2" else "area"
    names = "|".join(filter(None, [bare.replace("_", "."), ALSO.get(key), ALSO.get(f"{name}.{key}")]))
    assert re.search(names, field), (field, names)
    assert re.match(r"got 2\.5 [a-z]+( \*\* 2)?; allowed: ", rest) and str(given) in rest, rest
    allowed = rest.split("; allowed: ")[1]
    assert wanted in re.split(r"[ ,]", allowed), allowed


# A number without a unit may be meant in degrees or in radians: it is no angle.
@pytest.mark.parametrize("name, call, kwargs, key", [case for case in CASES if case[3].endswith("_deg")],
                         ids=[i for i in IDS if i.endswith("_deg")])  # fmt: skip
def test_a_ratio_is_no_angle(name, call, kwargs, key):
    for ratio in (Q(4.0, "dimensionless"), Q(4.0, "m/m")):
        with pytest.raises(libdrag.InvalidInput) as caught:
            call(**{**kwargs, key: ratio})
        assert (
            judged(caught.value) is None
            and "deg" in str(caught.value)
            and "4.0 dimensionless" in str(caught.value)
        )
    with pytest.raises(libdrag.InvalidInput):
        call(**{**kwargs, key: Q(4.0, "mm/m")})


# dragcalc says of the same slip: "got '2deg', an angle; allowed: a number".
@pytest.mark.parametrize("call", [
    lambda angle: Swim(BODY, coefficients={"tilt.slope": angle}),
    lambda angle: libdrag.speed_change_at_power(0.1, angle),
    lambda angle: libdrag.wave_share(angle),
    lambda angle: libdrag.wave_share([angle, angle]),
])  # fmt: skip
@pytest.mark.parametrize("angle", [Q(2.0, "degree"), Q(0.2, "radian")])
def test_an_angle_is_no_number(call, angle):
    assert "an angle; allowed: a number" in complaint(typed(DRAG, "--set", "tilt.slope=2deg"))
    with pytest.raises(libdrag.InvalidInput) as caught:
        call(angle)
    assert judged(caught.value) is None


def test_a_number_without_a_dimension_is_a_number():
    assert libdrag.wave_share(Q(30, "cm/m")) == pytest.approx(libdrag.wave_share(0.3), rel=1e-12)
    assert libdrag.speed_change_at_power(Q(0.1, ""), Q(2, "")) == libdrag.speed_change_at_power(0.1, 2)
    assert same(Swim(BODY, coefficients={"tilt.slope": Q(2, "")}), Swim(BODY, coefficients={"tilt.slope": 2}))
    assert libdrag.Input.fixed(Q(2, "")) is not None


def test_a_depth_for_an_angle_is_refused_in_the_words_of_the_command_line():
    """A hip drop is an angle or a depth; a mass is neither, and the message says so."""
    assert libdrag.cost(
        BODY, event="100 free", time_s=60, hip_drop_deg=Q(6, "cm"), draws=100
    ).hip_drop_deg == pytest.approx(
        libdrag.cost(BODY, event="100 free", time_s=60, hip_drop_m=0.06, draws=100).hip_drop_deg, rel=1e-12
    )
    with pytest.raises(libdrag.InvalidInput, match="hip.drop: got 4 kilogram; allowed: .*deg"):
        libdrag.cost(BODY, event="100 free", time_s=60, hip_drop_deg=Q(4, "kg"), draws=100)


# A difference of temperatures is no temperature: 27 of them are -246 degrees above the ice point or 27 above
# nothing.
def test_a_difference_is_no_temperature():
    with pytest.raises(libdrag.InvalidInput):
        libdrag.water(Q(27, "delta_degC"))
    with pytest.raises(libdrag.InvalidInput):
        libdrag.water([Q(27, "delta_degC"), Q(28, "degC")])


# --- arrays of quantities and of texts --------------------------------------------------------------


def takes_many(call, kwargs, key):
    try:
        return flat(call(**{**kwargs, key: [kwargs[key], 0.99 * kwargs[key]]})) is not None
    except (TypeError, ValueError):
        return False


MANY = [(case, i) for case, i in zip(CASES, IDS) if takes_many(*case[1:])]


def test_most_of_them_take_many():
    names = [i for _, i in MANY]
    assert len(names) > 60 and {
        "water.temperature_c",
        "passive_drag.depth_m",
        "cost.time_s",
        "sweep by rise.head_lift_m",
    } < {*names}


# The same, element by element. One list may hold numbers, texts and quantities of several units.
@pytest.mark.parametrize("name, call, kwargs, key", [case for case, _ in MANY], ids=[i for _, i in MANY])
def test_many_quantities_are_their_numbers(name, call, kwargs, key):
    own, text, other, wrong, _ = unit_of(key)
    x, y = kwargs[key], 0.99 * kwargs[key]
    want, agree = call(**{**kwargs, key: [x, y]}), same if own else close
    assert agree(call(**{**kwargs, key: quantity(np.array([x, y]), own)}), want)
    assert close(call(**{**kwargs, key: quantity(np.array([x, y]), own).to(other)}), want)
    assert close(call(**{**kwargs, key: [quantity(x, own).to(other), y]}), want)
    assert agree(call(**{**kwargs, key: [quantity(x, own), quantity(y, own)]}), want)
    as_objects = np.empty(2, dtype=object)
    as_objects[0], as_objects[1] = quantity(x, own), y
    assert agree(call(**{**kwargs, key: as_objects}), want)
    if text:
        assert same(call(**{**kwargs, key: [f"{x!r}{text}", f"{y!r}{text}"]}), want)
        assert same(call(**{**kwargs, key: (x, f"{y!r}{text}")}), want)
    for bad in (Q(np.array([x, y]), wrong), [quantity(x, own), Q(y, wrong)], [x, Q(y, wrong)]):
        with pytest.raises(libdrag.InvalidInput) as caught:
            call(**{**kwargs, key: bad})
        assert judged(caught.value) is None


def test_lists_that_are_one_value():
    times = [30.0, 37.0, 43.0, 40.0]
    race = dict(event="200 IM", time_s=150.0, hip_drop_deg=4, draws=100)
    want = libdrag.cost(BODY, splits_s=times, **race)
    for splits in (Q(np.array(times), "s"), [Q(t, "s") for t in times], Q(np.array(times) / 60, "minute"),
                   np.array(times),
                   ["30.00", 37, Q(43, "s"), "0:40.00"]):  # fmt: skip
        assert close(libdrag.cost(BODY, splits_s=splits, **race), want)
    with pytest.raises(libdrag.InvalidInput, match="splits: got 30.* kilogram"):
        libdrag.cost(BODY, splits_s=Q(np.array(times), "kg"), **race)

    race = dict(event="100 free", time_s=60.0, draws=100)
    want = libdrag.what_if(BODY, [2.0, 4.0], **race)
    for drops in (
        Q(np.array([2.0, 4.0]), "degree"),
        [Q(2.0, "degree"), "4deg"],
        np.array([2.0, 4.0]),
        (2, 4),
    ):
        assert same(libdrag.what_if(BODY, drops, **race), want)

    want = libdrag.periodic_motion(70, [0.5, 0.7], [60.0, 40.0], 25.0)
    got = libdrag.periodic_motion(
        Q(70000, "gram"), Q(np.array([500.0, 700.0]), "ms"), [Q(60, "N"), 40.0], Q(25, "kg/m")
    )
    assert close(got, want)


def test_quantities_in_mappings():
    want = Body("f", 1.72, 63, {"chest_girth": 0.9})
    assert (
        Body("f", 1.72, 63, {"chest_girth": Q(0.9, "m")})
        == want
        == Body("f", 1.72, 63, {"chest_girth": "90cm"})
    )
    assert want.replace(chest_girth_m=Q(95, "cm")).measured == {"chest_girth": pytest.approx(0.95, rel=1e-15)}
    with pytest.raises(libdrag.InvalidInput, match="chest_girth: got 90 kilogram"):
        Body("f", 1.72, 63, {"chest_girth": Q(90, "kg")})
    with pytest.raises(libdrag.InvalidInput, match="lungs: got 2 meter"):
        Composition(Q(2, "m"))
    assert close(Composition(Q(2.5, "liter")), Composition(0.0025)) and close(
        Composition("2.5L"), Composition(0.0025)
    )
    assert close(Belt(Q(2, "kg"), Q(95, "cm")), Belt(2.0, 0.95)) and close(
        Tether(Q(2, "kgf")), Tether(19.6133)
    )


# Each registry has units of its own; a quantity of any of them is a quantity.
def test_quantities_of_several_registries():
    other = pint.UnitRegistry()
    assert libdrag.froude(other.Quantity(5.4, "km/hour"), Q(200, "cm")) == pytest.approx(
        libdrag.froude(1.5, 2.0), rel=1e-12
    )
    assert Body("f", pint.Quantity(172, "cm"), 63).stature_m == 1.72


# --- text -------------------------------------------------------------------------------------------


# The library's own parser: the number that is written is the number that counts, bit for bit.
@pytest.mark.parametrize("name, call, kwargs, key", [c for c in CASES if unit_of(c[3])[1]],
                         ids=[i for c, i in zip(CASES, IDS) if unit_of(c[3])[1]])  # fmt: skip
def test_text_is_its_number(name, call, kwargs, key):
    text = unit_of(key)[1]
    want = known(name)
    assert same(worked(call, {**kwargs, key: f"{kwargs[key]!r}{text}"}), want)
    assert same(worked(call, {**kwargs, key: np.str_(f" {kwargs[key]!r} {text} ")}), want)


@pytest.mark.parametrize("call, text, number", [
    (lambda x: Body("f", x, 63).stature_m, "172cm", 1.72),
    (lambda x: Body("f", x, 63).stature_m, "1720 mm", 1.72),
    (lambda x: Body("f", 1.72, x).mass_kg, "63000 g", 63.0),
    (lambda x: libdrag.cost(BODY, event="100 free", time_s=x, hip_drop_deg=4, draws=100).time_s, "1:02.40",
     62.4),
    (lambda x: libdrag.cost(BODY, event="100 free", time_s=x, hip_drop_deg=4, draws=100).time_s, "62.40",
     62.4),
    (lambda x: libdrag.drag(BODY, x, draws=100).speed_m_s, "150cm/s", 1.5),
    (lambda x: libdrag.drag(BODY, x, draws=100).speed_m_s, "5.4km/h", 1.5),
    (lambda x: libdrag.water(x).temperature_c, "300.15K", 27.0),
    (lambda x: libdrag.Posture(roll_deg=x).roll_deg, "30deg", 30.0),
    (lambda x: libdrag.Area(x, "wetted").m2, "900cm2", 0.09),
])  # fmt: skip
def test_what_text_says(call, text, number):
    assert call(text) == pytest.approx(number, rel=1e-15)


# Numbers in, the same numbers out, whatever the unit they are computed in.
def test_what_is_given_is_kept():
    for x in np.arange(0.0, 60.0, 0.37).tolist() + list(range(60)):
        assert libdrag.Posture(leg_angle_deg=x).leg_angle_deg == x
        assert Swim(BODY, incline_deg=x).incline_deg == x
        assert libdrag.Posture(leg_angle_deg=f"{x!r}deg").leg_angle_deg == pytest.approx(x, rel=1e-15)
        assert Q(x, "degree").magnitude == pytest.approx(
            libdrag.Posture(leg_angle_deg=Q(x, "degree")).leg_angle_deg, rel=1e-15
        )


# --- pint out ---------------------------------------------------------------------------------------

DIMENSIONS = {
    "_N_m_per_deg": "newton * meter / degree", "_kg_m3": "kg / m**3", "_m2_s": "m**2 / s", "_Pa_s": "Pa * s",
    "_kg_m": "kg / m",
    "_N_m": "newton * meter", "_m_s": "m / s", "_m2": "m**2", "_m3": "m**3", "_deg": "degree", "_kg": "kg",
    "_c": "degC",
    "_N": "N", "_W": "W", "_J": "J", "_m": "m", "_s": "s",
}  # fmt: skip


def quantities_in(result):
    return any(name.endswith(tuple(DIMENSIONS)) and getattr(result, name) is not None
               for name in dir(result) if not name.startswith("_") and not callable(getattr(result, name)))  # fmt: skip


def results():
    race = dict(event="100 free", time_s=62.4, draws=100)
    return [
        BODY, BODY.posed(), libdrag.water(), libdrag.water([20.0, 27.0]), libdrag.Posture(roll_deg=3.0),
        Swim(BODY, incline_deg=9, k_kg_m=28), libdrag.passive_drag(BODY, 1.5),
        libdrag.passive_drag(BODY, [1.0, 1.5], draws=100),
        libdrag.active_drag(BODY, 1.5), libdrag.drag(BODY, 1.5, draws=100),
        libdrag.cost(BODY, hip_drop_deg=4, **race),
        libdrag.cost(BODY, hip_drop_deg=4, **race).legs[0], libdrag.wanted_gain(BODY, 0.2, hip_drop_deg=4,
                                                                                **race),
        libdrag.implied_hip_drop(BODY, 62.0, **race), libdrag.stroke(BODY, 1.5, hip_drop_deg=4, draws=100),
        libdrag.periodic_motion(70, [0.5, 0.5], [60, 40], 25.0),
        libdrag.balance(BODY, aids=[Belt(2)], head_lift_deg=20),
        libdrag.balance(BODY, aids=[Belt(2)], head_lift_deg=20).head,
        libdrag.balance(BODY, aids=[Belt(2)]).loads[0],
        libdrag.aids(BODY, 1.5, Tether(20), draws=100), libdrag.aids(BODY, 1.5, Tether(20),
                                                                     draws=100).effects[0],
        libdrag.advance(70, 40, 25, 1.5, [0.1, 0.2]), libdrag.lung_volumes(BODY),
        libdrag.havelock_sphere(1.5, 0.4, 0.6),
        *(seen for seen in seen_at_the_pool() if quantities_in(seen)),
    ]  # fmt: skip


@pytest.mark.parametrize("result", results(), ids=lambda result: type(result).__name__)
def test_results_as_quantities(result):
    wrapped = with_units(result, REGISTRY)
    quantities = 0
    for name in dir(result):
        unit = next((unit for end, unit in DIMENSIONS.items() if name.endswith(end)), None)
        value = getattr(result, name)
        if name.startswith("_") or callable(value):
            continue
        got = getattr(wrapped, name)
        if unit is None or value is None:
            assert type(got) is type(value)
            continue
        levels = ["level"] if hasattr(value, "_fields") else []
        parts = (
            zip(value._fields, value, got)
            if levels
            else (zip(itertools.repeat(""), value, got) if isinstance(value, tuple) else [("", value, got)])
        )
        for part, number, quantity in parts:
            if part in levels:
                assert quantity == number
                continue
            assert quantity.units == REGISTRY.Unit(unit), name
            assert np.array_equal(quantity.magnitude, number), name
            quantities += 1
    assert quantities > 0
    assert dir(wrapped) == dir(result) and type(result).__name__ in repr(wrapped)


def test_the_package_as_quantities():
    lib = with_units(libdrag, REGISTRY)
    force = lib.drag_force_N(Q(1.5, "m/s"), 0.03)
    assert force.check("[force]") and force.magnitude == libdrag.drag_force_N(1.5, 0.03)
    assert lib.hull_speed_m_s(2.0).check("[speed]") and lib.ellipsoid_surface_m2(1, 0.3, 0.2).check("[area]")
    assert lib.siri_density_kg_m3(20).check("[density]") and lib.transverse_wavelength_m([1.0, 1.5]).check(
        "[length]"
    )
    assert lib.swimmer_added_mass_kg(63).value.check("[mass]") and lib.swimmer_added_mass_kg(63).sd.check(
        "[mass]"
    )
    assert lib.speed_specific_drag_kg_m(40, 1.5).check("[mass]/[length]") and lib.guessed_time_s(
        "100 free", 60, "200 free"
    ).check("[time]")
    assert lib.wave_share(0.3) == libdrag.wave_share(0.3) and lib.events("lcm") == libdrag.events("lcm")
    assert with_units(BODY, REGISTRY).projected_area_m2(Q(5, "degree")).magnitude == BODY.projected_area_m2(
        5.0
    )


# What comes out goes in again.
def test_quantities_go_round():
    lib, her = with_units(libdrag, REGISTRY), with_units(BODY, REGISTRY)
    assert Body("f", her.stature_m, her.mass_kg) == BODY
    speed = lib.hull_speed_m_s(her.length_m)
    assert libdrag.froude(speed, her.length_m) == pytest.approx(
        libdrag.froude(libdrag.hull_speed_m_s(BODY.length_m), BODY.length_m)
    )
    assert libdrag.water(with_units(libdrag.water(21.5), REGISTRY).temperature_c).temperature_c == 21.5


def test_the_application_registry_unless_given():
    volume = with_units(BODY).volume_m3
    assert volume._REGISTRY is pint.get_application_registry().get() or volume.to("liter").magnitude > 50
    assert with_units(BODY).volume_m3.to("liter").magnitude == pytest.approx(1000 * BODY.volume_m3, rel=1e-12)


# --- kinds of area ----------------------------------------------------------------------------------

KINDS = [
    "trunk cross-section",
    "projected",
    "cycle-mean projected",
    "effective",
    "planform",
    "wetted",
    "volume^(2/3)",
]


# By definition of a drag coefficient: D = 1/2 rho v2 Cd A with the area it was published on (Hoerner 1965).
@pytest.mark.parametrize("one, other", itertools.product(KINDS, KINDS))
def test_kinds_of_area_do_not_mix(one, other):
    area, coefficient = Area(0.074, one), DragCoefficient(0.46, other)
    if one == other:
        assert coefficient * area == area * coefficient == 0.46 * 0.074
        return
    for product in (lambda: area * coefficient, lambda: coefficient * area):
        with pytest.raises(libdrag.InvalidInput, match="both of one kind") as caught:
            product()
        assert judged(caught.value) is None
        assert one in str(caught.value) and other in str(caught.value)


def test_an_area_is_no_number():
    area, coefficient = Area(0.074, "projected"), DragCoefficient(0.46, "projected")
    for senseless in (lambda: area * 2.0, lambda: 2.0 * area, lambda: area + area, lambda: area * area,
                      lambda: float(area),
                      lambda: coefficient * coefficient, lambda: coefficient * 2.0,
                      lambda: area / coefficient,
                      lambda: np.array([0.1, 0.2]) * area, lambda: area < area):  # fmt: skip
        with pytest.raises(TypeError):
            senseless()
    with pytest.raises(libdrag.InvalidInput, match="kind projected"):
        libdrag.drag_force_N(1.5, area)
    with pytest.raises((TypeError, ValueError)):
        libdrag.drag_force_N(1.5, coefficient)
    for kind in ("skin", "Projected", "", "projected "):
        with pytest.raises(libdrag.InvalidInput, match="trunk cross-section, projected"):
            Area(0.07, kind)


def test_areas_of_a_body_know_their_kind():
    areas = BODY.areas(incline_deg=[0.0, 5.0])
    assert {area.kind for area in areas.values()} <= set(KINDS)
    assert (
        np.array_equal(areas["projected"].m2, BODY.projected_area_m2([0.0, 5.0]))
        and areas["wetted"].m2 == BODY.wetted_area_m2
    )
    drag = libdrag.drag_force_N(1.5, DragCoefficient([0.46, 0.5], "projected") * areas["projected"])
    assert drag.shape == (2,)
    assert np.array_equal(
        drag, libdrag.drag_force_N(1.5, np.array([0.46, 0.5]) * BODY.projected_area_m2([0.0, 5.0]))
    )
    assert Area(Q(0.074, "m**2"), "wetted") == Area(0.074, "wetted") != Area(0.074, "planform")


def test_drops_in_centimetres_are_those_of_the_body(tmp_path):
    path = tmp_path / "squad.csv"
    for day, drop in (("2026-11-02", "6cm"), ("2026-11-16", "5cm"), ("2026-11-30", "4cm")):
        libdrag.append_to_record(path, "Mia", "drop", date=day, drop_m=drop, side="both")
    with pytest.raises(libdrag.InvalidInput, match="drop: got 6.00 cm"):
        libdrag.progress(path)
    for body in (BODY, Swim(Body("m", 1.9, 85))):
        first = libdrag.cost(body, event="100 free", time_s=62.4, hip_drop_m=0.06, draws=100).hip_drop_deg
        line = libdrag.progress(path, body=body).levels  # which passes near it
        assert line[0].level_deg[0] == pytest.approx(first, abs=0.01)


# --- uncertainties ----------------------------------------------------------------------------------


# JCGM 101:2008, 7.6: average and standard deviation of the draws.
def test_values_of_the_uncertainties_package():
    cost = libdrag.cost(BODY, event="100 free", time_s=62.4, hip_drop_deg=4, draws=1000)
    drag = libdrag.drag(BODY, 1.5, draws=1000)
    spread = libdrag.propagate(lambda x: x["a"] ** 2, {"a": libdrag.Input.normal(2, 0.1)}, draws=1000)
    pairs = [
        (cost.to_ufloat(), cost.draws),
        (spread.to_ufloat("a2"), spread.draws),
        (drag.to_ufloat(), drag.draws["passive_N"]),
    ]
    pairs += [(drag.to_ufloat(name), drag.draws[name]) for name in drag.draws]
    for value, draws in pairs:
        assert isinstance(value, UFloat)
        assert value.nominal_value == pytest.approx(np.mean(draws), rel=1e-12)
        assert value.std_dev == pytest.approx(np.std(draws, ddof=1), rel=1e-12)
    assert spread.to_ufloat().nominal_value == pytest.approx(spread.mean, rel=1e-12)
    assert spread.to_ufloat().std_dev == pytest.approx(spread.standard_uncertainty, rel=1e-12)
    assert spread.to_ufloat("a2").tag == "a2"
    # linear propagation of the package itself: twice the value, twice the uncertainty
    assert (2 * cost.to_ufloat()).std_dev == pytest.approx(2 * cost.to_ufloat().std_dev)
    with pytest.raises(KeyError):
        drag.to_ufloat("no such")
