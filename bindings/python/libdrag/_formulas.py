"""The formulas of the library's headers over arrays. All broadcast; scalars in give floats out."""

from __future__ import annotations

from typing import Any, List, NamedTuple, Optional, Tuple, Union

from . import _core
from ._body import Area, Array, Body, Number
from ._errors import InvalidInput, wrong_type
from ._swim import Water, as_bool, water
from ._values import flag

__all__ = [
    "active_factor", "advance", "breath_shares", "breaths_per_cycle", "BreathShares", "crossflow_efficiency",
    "dimension_list", "drag_by_assisted_tow_N", "drag_by_perturbation_N", "drag_force_N",
    "ellipsoid_projected_area_m2", "ellipsoid_surface_m2", "events", "form_factor", "format_time",
    "friction_coefficient", "froude", "guessed_time_s", "havelock_sphere", "havelock_spheroid",
    "hip_drop_level", "hull_speed_m_s", "lung_volumes", "LungVolumes", "Moved", "pulse_width_cycles",
    "reynolds", "siri_density_kg_m3", "speed_change_at_power", "speed_change_at_thrust",
    "speed_specific_drag_kg_m", "spheroid_added_mass", "SpheroidAddedMass", "swimmer_added_mass_kg",
    "transverse_wavelength_m", "Uncertain", "usual_breathing", "wave_depth_factor", "wave_share",
    "WaveResistance",
]  # fmt: skip


def _water(given: Optional[Water]) -> Water:
    if given is None:
        return water()
    if isinstance(given, Water):
        return given
    raise wrong_type("water", given, "what water() makes")


def drag_force_N(speed_m_s: Array, drag_area_m2: Union[Array, Area], water: Optional[Water] = None) -> Any:
    """D = 1/2 rho v2 CdA.

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    drag_area_m2 : number or array_like
        Coefficient times area of one kind: ``DragCoefficient(0.46, "projected") * Area(0.074, "projected")``.
    water : Water, optional
        Fresh water of 27 degrees Celsius unless given.

    Returns
    -------
    float or numpy.ndarray
        Newtons, in the broadcast shape.

    Raises
    ------
    InvalidInput
        For an `Area` without its coefficient.

    Examples
    --------
    >>> round(drag_force_N(1.5, DragCoefficient(0.46, "projected") * Area(0.074, "projected")), 2)
    38.16
    """
    if isinstance(drag_area_m2, Area):
        raise InvalidInput(
            "drag area", f"an area of kind {drag_area_m2.kind}", "a drag coefficient times an area"
        )
    return _core.drag_force(_water(water).density_kg_m3, speed_m_s, drag_area_m2)


def speed_specific_drag_kg_m(drag_N: Array, speed_m_s: Array) -> Any:
    """k = D / v2: the drag figure that compares between papers because it needs no area.

    Parameters
    ----------
    drag_N : number or array_like
        Newtons.
    speed_m_s : number or array_like
        Metres per second.

    Returns
    -------
    float or numpy.ndarray
        kg/m, in the broadcast shape.

    Examples
    --------
    >>> speed_specific_drag_kg_m(45.0, 1.5)
    20.0
    """
    return _core.speed_specific_drag(drag_N, speed_m_s)


def reynolds(speed_m_s: Array, length_m: Array, water: Optional[Water] = None) -> Any:
    """Reynolds number, v L / nu.

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    length_m : number or array_like
        Metres: of the body, fingertips to toes.
    water : Water, optional
        Fresh water of 27 degrees Celsius unless given.

    Returns
    -------
    float or numpy.ndarray
        Without unit, in the broadcast shape.

    Examples
    --------
    >>> f"{reynolds(1.5, 2.2):.2g}"
    '3.9e+06'
    """
    return _core.reynolds(speed_m_s, length_m, _water(water).kinematic_viscosity_m2_s)


def friction_coefficient(reynolds: Array, line: str = "ittc57") -> Any:
    """Mean friction coefficient of a flat plate, on wetted area.

    Parameters
    ----------
    reynolds : number or array_like
        1000 or more.
    line : {"ittc57", "hughes", "schoenherr", "prandtl-schlichting", "transition", "blasius"}
        ITTC 1957; Hughes 1954; Schoenherr 1932; Prandtl-Schlichting, and with transition; Blasius 1908
        (laminar).

    Returns
    -------
    float or numpy.ndarray
        In the shape of `reynolds`.

    Raises
    ------
    InvalidInput
        Below 1000, where the lines have no meaning.
    UnknownKey
        For another line.

    Examples
    --------
    >>> friction_coefficient([1e5, 1e6, 1e7]).round(5)
    array([0.00833, 0.00469, 0.003  ])
    >>> round(friction_coefficient(1e5, "blasius"), 5)
    0.0042
    """
    return _core.friction_coefficient(reynolds, line)


def form_factor(thickness: Array) -> Any:
    """How much more than a flat plate a streamlined body of revolution drags, on wetted area.

    Parameters
    ----------
    thickness : number or array_like
        Diameter over length.

    Returns
    -------
    float or numpy.ndarray
        In the shape of `thickness`.

    References
    ----------
    Hoerner 1965, Fluid-Dynamic Drag.

    Examples
    --------
    >>> round(form_factor(0.2), 3)
    1.19
    """
    return _core.form_factor(thickness)


class Uncertain(NamedTuple):
    """A value and its standard deviation.

    Attributes
    ----------
    value, sd : float or numpy.ndarray

    Examples
    --------
    >>> Uncertain(1.5, 0.2).sd
    0.2
    """

    value: Any
    sd: Any


def active_factor(speed_m_s: Array, stroke: str = "crawl", method: str = "planimetric") -> Uncertain:
    """Active over passive drag at one speed and incline, by stroke and method (model eq. 7).

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second; it matters with "residual-thrust" alone.
    stroke, method : str
        As of `Swim`.

    Returns
    -------
    Uncertain
        Factor and standard deviation, in the shape of `speed_m_s`.

    References
    ----------
    The rows ``resistance.active`` of `sources`; methods differ by a factor of two.

    Examples
    --------
    >>> factor, sd = active_factor(1.5, "crawl", "planimetric")
    >>> factor > 1.0 > sd
    True
    """
    return Uncertain(*_core.active_factor(speed_m_s, stroke, method))


def drag_by_perturbation_N(
    added_N: Array, speed_m_s: Array, loaded_speed_m_s: Array, exponent: Array = 2.0
) -> Any:
    """Drag at free speed from a known added drag that slowed the swimmer at equal power, D = k v^n.

    It amplifies errors of speed about tenfold.

    Parameters
    ----------
    added_N : number or array_like
        Known added drag at the loaded speed, newtons.
    speed_m_s, loaded_speed_m_s : number or array_like
        Free, and with the added drag; metres per second.
    exponent : number or array_like
        n.

    Returns
    -------
    float or numpy.ndarray
        Newtons at the free speed, in the broadcast shape.

    Raises
    ------
    InvalidInput
        Unless the loaded speed is more than 0 and less than the free speed.

    Examples
    --------
    >>> round(drag_by_perturbation_N(added_N=8, speed_m_s=1.6, loaded_speed_m_s=1.5), 1)
    42.6
    """
    return _core.drag_by_perturbation(added_N, speed_m_s, loaded_speed_m_s, exponent)


def drag_by_assisted_tow_N(tow_N: Array, speed_m_s: Array, towed_speed_m_s: Array) -> Any:
    """Drag at free speed from a tow that raised the speed at equal power, D = k v2.

    It amplifies errors of speed about tenfold.

    Parameters
    ----------
    tow_N : number or array_like
        Newtons.
    speed_m_s, towed_speed_m_s : number or array_like
        Free, and towed; metres per second.

    Returns
    -------
    float or numpy.ndarray
        Newtons at the free speed, in the broadcast shape.

    Raises
    ------
    InvalidInput
        Unless the towed speed is more than the free speed.

    Examples
    --------
    >>> round(drag_by_assisted_tow_N(tow_N=10, speed_m_s=1.5, towed_speed_m_s=1.6), 1)
    49.9
    """
    return _core.drag_by_assisted_tow(tow_N, speed_m_s, towed_speed_m_s)


def speed_change_at_power(drag_change: Array, exponent: Array = 2.0) -> Any:
    """Relative change of speed for a relative change of drag at equal power, D = k v^n (model eq. 11).

    Parameters
    ----------
    drag_change : number or array_like
        As a fraction: 0.02 is 2 % more drag.
    exponent : number or array_like
        n.

    Returns
    -------
    float or numpy.ndarray
        As a fraction, negative for more drag; in the broadcast shape.

    References
    ----------
    Toussaint & Beek 1992.

    Examples
    --------
    >>> round(speed_change_at_power(0.03), 4)  # about a third of it
    -0.0098
    """
    return _core.speed_change_at_power(drag_change, exponent)


def speed_change_at_thrust(drag_change: Array, exponent: Array = 2.0) -> Any:
    """Relative change of speed for a relative change of drag at equal thrust, D = k v^n (model eq. 11).

    Parameters
    ----------
    drag_change : number or array_like
        As a fraction: 0.02 is 2 % more drag.
    exponent : number or array_like
        n.

    Returns
    -------
    float or numpy.ndarray
        As a fraction, negative for more drag; in the broadcast shape.

    References
    ----------
    Toussaint & Beek 1992.

    Examples
    --------
    >>> round(speed_change_at_thrust(0.03), 4)  # about half of it
    -0.0147
    """
    return _core.speed_change_at_thrust(drag_change, exponent)


def crossflow_efficiency(fineness: Array) -> Any:
    """Finite-length factor of cross-flow drag.

    Parameters
    ----------
    fineness : number or array_like
        Length over diameter, 1 to 40.

    Returns
    -------
    float or numpy.ndarray
        In the shape of `fineness`.

    References
    ----------
    Jorgensen 1977, NASA TR R-474: a fit to the published figure.

    Examples
    --------
    >>> crossflow_efficiency([2, 40]).round(2)
    array([0.57, 0.82])
    """
    return _core.crossflow_efficiency(fineness)


def froude(speed_m_s: Array, length_m: Array) -> Any:
    """Froude number, v / sqrt(g L).

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    length_m : number or array_like
        Metres: of the body, fingertips to toes.

    Returns
    -------
    float or numpy.ndarray
        Without unit, in the broadcast shape.

    Examples
    --------
    >>> round(froude(1.5, 2.2), 3)
    0.323
    """
    return _core.froude(speed_m_s, length_m)


def hull_speed_m_s(length_m: Array) -> Any:
    """Speed at which the wave behind a body is as long as the body, sqrt(g L / 2 pi).

    Parameters
    ----------
    length_m : number or array_like
        Metres.

    Returns
    -------
    float or numpy.ndarray
        Metres per second, in the shape of `length_m`.

    Examples
    --------
    >>> round(hull_speed_m_s(2.2), 3)
    1.853
    """
    return _core.hull_speed(length_m)


def transverse_wavelength_m(speed_m_s: Array, water_depth_m: Optional[Array] = None) -> Any:
    """Length of the transverse waves behind a body.

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    water_depth_m : number or array_like, optional
        Metres; deep water unless given.

    Returns
    -------
    float or numpy.ndarray
        Metres, in the broadcast shape; NaN at or above the critical speed of that depth, where waves cannot
        keep up with the body.

    Examples
    --------
    >>> round(transverse_wavelength_m(1.5), 3)
    1.442
    >>> transverse_wavelength_m(5.0, water_depth_m=1.0)
    nan
    """
    return _core.transverse_wavelength(speed_m_s, water_depth_m)


def wave_share(froude: Array) -> Any:
    """Share of waves in the drag of a body towed at the surface.

    Parameters
    ----------
    froude : number or array_like
        Froude number on the body's length, 0 to 10.

    Returns
    -------
    float or numpy.ndarray
        As a fraction, in the shape of `froude`.

    References
    ----------
    Mollendorf et al. 2004: three speeds of seven men, straight lines between, not extrapolated.

    Examples
    --------
    >>> wave_share(0.2) < wave_share(0.4)
    True
    """
    return _core.wave_share(froude)


def wave_depth_factor(speed_m_s: Array, depth_m: Array) -> Any:
    """How much of the surface wave drag is left at a depth, exp(-2 g h / v2).

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    depth_m : number or array_like
        Of the body's axis, metres.

    Returns
    -------
    float or numpy.ndarray
        As a fraction, in the broadcast shape.

    References
    ----------
    The decay of the waves a body can make (Havelock); agrees with Vennell et al. 2006.

    Examples
    --------
    >>> wave_depth_factor(1.5, [0.0, 0.6]).round(4)
    array([1.    , 0.0054])
    """
    return _core.wave_depth_factor(speed_m_s, depth_m)


class WaveResistance(NamedTuple):
    """Wave resistance of a submerged body.

    Attributes
    ----------
    resistance_N : float or numpy.ndarray
    within_validity : bool or numpy.ndarray
        Where a panel solution lies within 25 %.

    Examples
    --------
    >>> havelock_sphere(1.5, 0.4, 3.0).within_validity
    True
    """

    resistance_N: Any
    within_validity: Any


def havelock_spheroid(
    speed_m_s: Array, length_m: Array, diameter_m: Array, axis_depth_m: Array, water: Optional[Water] = None
) -> WaveResistance:
    """Wave resistance of a prolate spheroid moving along its axis at a constant depth.

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    length_m, diameter_m : number or array_like
        Metres.
    axis_depth_m : number or array_like
        Of the axis below the undisturbed surface, at least half the diameter; metres.
    water : Water, optional
        Fresh water of 27 degrees Celsius unless given.

    Returns
    -------
    WaveResistance
        In the broadcast shape.

    Raises
    ------
    InvalidInput
        For a body that is shorter than thick or pierces the surface.

    References
    ----------
    Havelock 1931, Proc R Soc A 131:275. Deep water, inviscid, first-order body condition.

    Examples
    --------
    >>> wave = havelock_spheroid(1.5, length_m=2.2, diameter_m=0.35, axis_depth_m=0.6)
    >>> wave.resistance_N > 0
    True
    """
    resistance, valid = _core.havelock_spheroid(
        speed_m_s, length_m, diameter_m, axis_depth_m, _water(water).density_kg_m3
    )
    return WaveResistance(resistance, as_bool(valid))


def havelock_sphere(
    speed_m_s: Array, diameter_m: Array, centre_depth_m: Array, water: Optional[Water] = None
) -> WaveResistance:
    """Wave resistance of a submerged sphere, in closed form.

    Parameters
    ----------
    speed_m_s : number or array_like
        Metres per second.
    diameter_m : number or array_like
        Metres.
    centre_depth_m : number or array_like
        Of the centre below the undisturbed surface, at least half the diameter; metres.
    water : Water, optional
        Fresh water of 27 degrees Celsius unless given.

    Returns
    -------
    WaveResistance
        In the broadcast shape.

    Raises
    ------
    InvalidInput
        For a sphere that pierces the surface.

    References
    ----------
    Havelock 1917.

    Examples
    --------
    >>> wave = havelock_sphere(1.5, diameter_m=0.4, centre_depth_m=[0.5, 1.0])
    >>> bool(wave.resistance_N[0] > wave.resistance_N[1])
    True
    """
    resistance, valid = _core.havelock_sphere(
        speed_m_s, diameter_m, centre_depth_m, _water(water).density_kg_m3
    )
    return WaveResistance(resistance, as_bool(valid))


class SpheroidAddedMass(NamedTuple):
    """Lamb's coefficients.

    Attributes
    ----------
    along, across : float or numpy.ndarray
        Added mass over displaced mass, accelerating along and across the axis.
    rotation : float or numpy.ndarray
        Added moment of inertia over that of the displaced fluid, turning about a diameter of the middle
        section.

    Examples
    --------
    >>> slender = spheroid_added_mass(2.2, 0.3)
    >>> slender.along < 0.1 < slender.across
    True
    """

    along: Any
    across: Any
    rotation: Any


def spheroid_added_mass(length_m: Array, diameter_m: Array) -> SpheroidAddedMass:
    """Added-mass coefficients of a spheroid in unbounded fluid.

    Parameters
    ----------
    length_m, diameter_m : number or array_like
        Along and across the axis of revolution, metres.

    Returns
    -------
    SpheroidAddedMass
        In the broadcast shape.

    Raises
    ------
    InvalidInput
        Unless both are positive.

    References
    ----------
    Lamb, Hydrodynamics, art. 114-115.

    Examples
    --------
    >>> sphere = spheroid_added_mass(1.0, 1.0)
    >>> round(sphere.along, 3), round(sphere.across, 3)
    (0.5, 0.5)
    """
    return SpheroidAddedMass(*_core.spheroid_added_mass(length_m, diameter_m))


def swimmer_added_mass_kg(mass_kg: Array, sex: str = "average", *, child: bool = False) -> Uncertain:
    """Water that a gliding swimmer speeds up with the body.

    Parameters
    ----------
    mass_kg : number or array_like
        Of the body, kilograms.
    sex : {"f", "m", "average"}
        The mean of both, with a wider spread, unless given.
    child : bool
        Girls were not measured and take the boys' figure.

    Returns
    -------
    Uncertain
        Kilograms and their standard deviation between swimmers, in the shape of `mass_kg`.

    References
    ----------
    Caspersen et al. 2010: a measured fraction of body mass.

    Examples
    --------
    >>> added = swimmer_added_mass_kg(70, "m")
    >>> 0 < added.sd < added.value < 70
    True
    """
    return Uncertain(*_core.swimmer_added_mass(mass_kg, sex, flag("child", child)))


def ellipsoid_projected_area_m2(a_m: Array, b_m: Array, c_m: Array, tilt_deg: Array = 0.0) -> Any:
    """Exact silhouette of an ellipsoid: the yardstick for the silhouettes of bodies.

    Parameters
    ----------
    a_m, b_m, c_m : number or array_like
        Half-axes, metres; a is seen end on at tilt 0.
    tilt_deg : number or array_like
        Angle of a to the line of view, in the plane of a and c; degrees.

    Returns
    -------
    float or numpy.ndarray
        m2, in the broadcast shape.

    Examples
    --------
    >>> round(ellipsoid_projected_area_m2(1.0, 0.2, 0.1), 5)  # end on: pi b c
    0.06283
    >>> round(ellipsoid_projected_area_m2(1.0, 0.2, 0.1, tilt_deg=90), 5)  # broadside: pi a b
    0.62832
    """
    return _core.ellipsoid_projected_area(a_m, b_m, c_m, tilt_deg)


def ellipsoid_surface_m2(a_m: Array, b_m: Array, c_m: Array) -> Any:
    """Exact surface of an ellipsoid; four times its silhouette averaged over all directions (Cauchy).

    Parameters
    ----------
    a_m, b_m, c_m : number or array_like
        Half-axes, metres.

    Returns
    -------
    float or numpy.ndarray
        m2, in the broadcast shape.

    Examples
    --------
    >>> round(ellipsoid_surface_m2(0.5, 0.5, 0.5), 5)  # pi d2
    3.14159
    """
    return _core.ellipsoid_surface(a_m, b_m, c_m)


def hip_drop_level(time_cycles: Array, spacing_cycles: Array, width_cycles: Array) -> Any:
    """Hip drop as a share of its peak, at a time after a breath's centre (model eq. 9).

    Parameters
    ----------
    time_cycles : number or array_like
        Stroke cycles after the breath's centre; negative before it.
    spacing_cycles : number or array_like
        From breath to breath, ``1 / breaths_per_cycle(...)``; 0.05 to 100.
    width_cycles : number or array_like
        Of the raised-cosine pulse, 0.01 to 1.

    Returns
    -------
    float or numpy.ndarray
        0 to 1, in the broadcast shape.

    Examples
    --------
    >>> hip_drop_level([0.0, 0.1, 0.5], spacing_cycles=1.0, width_cycles=0.4).round(3)
    array([1. , 0.5, 0. ])
    """
    return _core.hip_drop_level(time_cycles, spacing_cycles, width_cycles)


class BreathShares(NamedTuple):
    """What a breathing pattern does to the hips.

    Attributes
    ----------
    low_share : float or numpy.ndarray
        Of the time that the hips are low.
    mean_level : float or numpy.ndarray
        Mean drop as a share of its peak.

    Examples
    --------
    >>> isinstance(breath_shares("every-3"), BreathShares)
    True
    >>> breath_shares("never").mean_level
    0.0
    """

    low_share: Any
    mean_level: Any


def breath_shares(breathe: str, stroke: str = "crawl", width_cycles: Optional[Array] = None) -> BreathShares:
    """How long a breathing pattern keeps the hips low, and how low on average.

    Parameters
    ----------
    breathe : str
        "never", "every-2" ...
    stroke : {"crawl", "back", "breast", "fly"}
        Patterns are counted in arm strokes in crawl, in cycles in butterfly and breaststroke.
    width_cycles : number or array_like, optional
        Of one breath, in stroke cycles; the stroke's default (an assumption, see `sources`) unless given.

    Returns
    -------
    BreathShares
        In the shape of `width_cycles`.

    Examples
    --------
    >>> shares = breath_shares("every-2", "crawl", width_cycles=0.4)
    >>> round(shares.low_share, 3), round(shares.mean_level, 3)
    (0.4, 0.2)
    """
    return BreathShares(*_core.breath_shares(breathe, stroke, width_cycles))


def pulse_width_cycles(stroke: str = "crawl") -> Uncertain:
    """Share of a stroke cycle that one breath keeps the hips low: an assumption with a wide spread.

    Parameters
    ----------
    stroke : {"crawl", "back", "breast", "fly"}
        0 in backstroke, where no breath lifts the head.

    Returns
    -------
    Uncertain
        Stroke cycles, and their standard deviation.

    Examples
    --------
    >>> width = pulse_width_cycles("crawl")
    >>> 0 < width.sd < width.value < 1
    True
    """
    return Uncertain(*_core.pulse_width(stroke))


def breaths_per_cycle(breathe: str, stroke: str = "crawl") -> float:
    """Breaths per stroke cycle; a crawl cycle is two arm strokes.

    Parameters
    ----------
    breathe : str
        "never", "every-2" ...
    stroke : {"crawl", "back", "breast", "fly"}
        In backstroke only "never".

    Returns
    -------
    float

    Examples
    --------
    >>> breaths_per_cycle("every-2"), breaths_per_cycle("every-2", "fly")
    (1.0, 0.5)
    """
    return _core.breaths_per_cycle(breathe, stroke)


def usual_breathing(stroke: str = "crawl") -> str:
    """Pattern where none is given (common practice).

    Parameters
    ----------
    stroke : {"crawl", "back", "breast", "fly"}
        Crawl every second arm stroke, butterfly and breaststroke every cycle, backstroke none.

    Returns
    -------
    str
        As every `breathe` takes it.

    Examples
    --------
    >>> usual_breathing("crawl"), usual_breathing("back")
    ('every-2', 'never')
    """
    return _core.usual_breathing(stroke)


class Moved(NamedTuple):
    """A step of the motion.

    Attributes
    ----------
    speed_m_s, distance_m : float or numpy.ndarray
        Speed after, and distance within, the time.

    Examples
    --------
    >>> advance(70, 25 * 1.5**2, 25, 1.5, 2.0)  # thrust equals drag
    Moved(speed_m_s=1.5000000000000002, distance_m=3.0)
    """

    speed_m_s: Any
    distance_m: Any


def advance(mass_kg: Array, thrust_N: Array, k_kg_m: Array, speed_m_s: Array, duration_s: Array) -> Moved:
    """Exact solution of m dv/dt = T - k v2 over a time of constant thrust and drag.

    Parameters
    ----------
    mass_kg : number or array_like
        Body and added mass, kilograms.
    thrust_N : number or array_like
        Newtons; negative brakes.
    k_kg_m : number or array_like
        Drag over speed squared, kg/m.
    speed_m_s : number or array_like
        At the beginning, metres per second.
    duration_s : number or array_like
        Seconds.

    Returns
    -------
    Moved
        In the broadcast shape.

    Raises
    ------
    InvalidInput
        For braking that stops the body within the time.

    Examples
    --------
    >>> after = advance(mass_kg=70, thrust_N=0, k_kg_m=25, speed_m_s=2.0, duration_s=1.4)
    >>> round(after.speed_m_s, 3), round(after.distance_m, 3)
    (1.0, 1.941)
    """
    return Moved(*_core.advance(mass_kg, thrust_N, k_kg_m, speed_m_s, duration_s))


def siri_density_kg_m3(fat_percent: Array) -> Any:
    """Density of the body without gas from its fat percentage.

    Parameters
    ----------
    fat_percent : number or array_like
        Per cent of body mass.

    Returns
    -------
    float or numpy.ndarray
        kg/m3, in the shape of `fat_percent`.

    References
    ----------
    Siri 1961.

    Examples
    --------
    >>> round(siri_density_kg_m3(15), 1)
    1064.5
    """
    return _core.siri_density(fat_percent)


class LungVolumes(NamedTuple):
    """Lungs, in m3.

    Attributes
    ----------
    total_m3, residual_m3, functional_m3 : float or numpy.ndarray
        After the deepest breath, after breathing all out, after a quiet breath out.
    within_validity : bool or numpy.ndarray
        18 to 70 years.

    Examples
    --------
    >>> lungs = lung_volumes(Body("m", 1.80, 75))
    >>> lungs.residual_m3 < lungs.functional_m3 < lungs.total_m3, lungs.within_validity
    (True, True)
    """

    total_m3: Any
    residual_m3: Any
    functional_m3: Any
    within_validity: Any


def lung_volumes(body: Body, age_years: Array = 25.0) -> LungVolumes:
    """Lungs by sex, stature and age.

    Parameters
    ----------
    body : Body
        Without sex the mean of both.
    age_years : number or array_like
        5 to 100; measured from 18 to 70.

    Returns
    -------
    LungVolumes
        In the shape of `age_years`.

    References
    ----------
    ECSC, Quanjer et al. 1993.

    Examples
    --------
    >>> lungs = lung_volumes(Body("m", 1.80, 75), [20, 60])
    >>> bool(lungs.residual_m3[0] < lungs.residual_m3[1])
    True
    """
    if not isinstance(body, Body):
        raise wrong_type("body", body, "a Body")
    total, residual, functional, valid = _core.lung_volumes(body._handle, age_years)
    return LungVolumes(total, residual, functional, as_bool(valid))


def events(course: str = "lcm") -> List[str]:
    """Individual events of a course as the rules list them, and the 25 of a short course.

    Parameters
    ----------
    course : {"lcm", "scm", "scy"}
        50 m, 25 m or 25 yd.

    Returns
    -------
    list of str

    Examples
    --------
    >>> events("scm")[:3]
    ['25 m freestyle', '50 m freestyle', '100 m freestyle']
    """
    return _core.events(course)


def guessed_time_s(event: str, time_s: Array, other: str, course: str = "lcm") -> Any:
    """A guess of the time in another event of the same stroke and course (common practice).

    Parameters
    ----------
    event, other : str
        The event that was swum and the one to guess.
    time_s : number or array_like
        Swum in `event`, seconds.
    course : {"lcm", "scm", "scy"}
        50 m, 25 m or 25 yd.

    Returns
    -------
    float or numpy.ndarray
        Seconds, in the shape of `time_s`.

    Examples
    --------
    >>> slower = guessed_time_s("100 free", 62.4, "200 free")
    >>> slower > 2 * 62.4
    True
    """
    return _core.guessed_time(event, time_s, other, course)


def format_time(time_s: Number) -> str:
    """A time as results lists write it.

    Parameters
    ----------
    time_s : number
        Seconds.

    Returns
    -------
    str

    Examples
    --------
    >>> format_time(62.4)
    '1:02.40'
    """
    return _core.format_time(time_s)


def dimension_list() -> List[Tuple[str, str, str]]:
    """Name, meaning and ANSUR II variable of each body dimension.

    Returns
    -------
    list of tuple of str

    Examples
    --------
    >>> name, meaning, ansur = dimension_list()[0]
    >>> name
    'overhead_reach'
    """
    return _core.dimension_list()
