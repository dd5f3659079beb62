"""Within the stroke cycle, how the body floats, and what aids do."""

from __future__ import annotations

from typing import Any, ClassVar, Dict, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from . import _core
from ._body import Number
from ._draws import Contribution, Estimate
from ._picture import Charted
from ._swim import Aid, Composition, Path, Who, answered, in_short
from ._values import Answer, Result, same

__all__ = [
    "AidEffect", "aids", "AidsResult", "Balance", "balance", "HeadLift", "LoadEffect", "Motion",
    "periodic_motion", "stroke", "StrokeCycle", "WantedLoad",
]  # fmt: skip


class Motion(Result):
    """Periodic steady motion of the centre of mass.

    Attributes
    ----------
    period_s, mean_speed_m_s, slowest_m_s, fastest_m_s : float
    centre_of_mass_cv : float
        Standard deviation over time, over the mean.
    centre_of_mass_peak_fluctuation : float
        (fastest - slowest) / (2 mean): the "plus or minus" of coaches.
    mean_thrust_N, mean_power_W, work_J, dissipation_J : float
    t_s, v_m_s : numpy.ndarray
        Speed at the ends of the steps, from 0 to the period.

    Examples
    --------
    >>> motion = periodic_motion(70, [0.5, 0.5], [80, 20], 25)
    >>> motion.slowest_m_s < motion.mean_speed_m_s < motion.fastest_m_s
    True
    """

    period_s: float
    mean_speed_m_s: float
    centre_of_mass_cv: float
    centre_of_mass_peak_fluctuation: float
    slowest_m_s: float
    fastest_m_s: float
    mean_thrust_N: float
    mean_power_W: float
    work_J: float
    dissipation_J: float
    t_s: np.ndarray[Any, Any]
    v_m_s: np.ndarray[Any, Any]

    def __repr__(self) -> str:
        return f"Motion({self.slowest_m_s:.3g} to {self.fastest_m_s:.3g} m/s, mean {self.mean_speed_m_s:.3g} m/s)"


class StrokeCycle(Charted):
    """Speed within the stroke cycle with intervals, made by `stroke`.

    Attributes
    ----------
    without : Motion
        Without a breath, at the middle of everything.
    with_breath : Motion or None
    hip_drop_deg : float
        Peak, at each breath.
    swing_deg : numpy.ndarray or None
        Hip drop at the times of ``with_breath.t_s``. When in the cycle the hips are lowest is an assumption.
    centre_of_mass_cv, centre_of_mass_peak_fluctuation, hip_cv, hip_peak_fluctuation : Estimate
        Of the centre of mass, and of what a speed meter on the hips would show (about twice as much).
    full, quasi_steady, full_over_quasi_steady : Estimate or None
        Relative change of mean speed by the breath, by the full motion and by the shortcut; and their ratio.
    draws : dict of str to numpy.ndarray
    notes, cautions : tuple of str
    asked : dict
        Of whom and of what: swimmer, stroke, breathing, replaced coefficients, aids ..., and the version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = stroke(swimmer, 1.5, draws=100)
    >>> result.hip_cv.median > result.centre_of_mass_cv.median
    True
    """

    without: Motion
    with_breath: Optional[Motion]
    hip_drop_deg: float
    swing_deg: Optional[np.ndarray[Any, Any]]
    centre_of_mass_cv: Estimate
    centre_of_mass_peak_fluctuation: Estimate
    hip_cv: Estimate
    hip_peak_fluctuation: Estimate
    full: Optional[Estimate]
    quasi_steady: Optional[Estimate]
    full_over_quasi_steady: Optional[Estimate]
    draws: Dict[str, np.ndarray[Any, Any]]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"without": Motion, "with_breath": Motion}

    def __repr__(self) -> str:
        said = f"{self.without!r}, peak fluctuation {self.centre_of_mass_peak_fluctuation}"
        return f"StrokeCycle({said}; {self.asked['stroke']}, {in_short(self.asked, False)})"


def stroke(
    body: Who,
    speed_m_s: Number,
    *,
    cycle_s: Number = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    effort: str = "power",
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    population: str = "swimmer",
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 400,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> StrokeCycle:
    """How speed swings within the stroke cycle, and what a breath does by the full equation of motion (eq. 12).

    Parameters
    ----------
    body : Body, Swim or Swimmer
    speed_m_s : number
        Mean over the cycle without breathing, 0.1 to 4 m/s.
    cycle_s : number, optional
        Of one stroke cycle (in crawl two arm strokes), 0.3 to 6 s; as at 100 m pace unless given.
    breathe : str, optional
        "never", "every-2", ...; the stroke's usual with a hip drop or a head lift.
    hip_drop_deg, hip_drop_m, head_lift_deg, head_lift_m : number, optional
        What each breath does; one of them.
    effort : {"power", "thrust"}
        What the swimmer holds when drag changes.
    aids, composition, population
        As of `drag`.
    record, name : optional
        As of `cost`.
    draws, seed, level, threads
        Each draw solves the periodic motion twice: a few hundred are usual.

    Returns
    -------
    StrokeCycle

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = stroke(swimmer, 1.5, hip_drop_deg=4, breathe="every-2", draws=100)
    >>> result.with_breath.mean_speed_m_s < result.without.mean_speed_m_s
    True
    """
    return answered(StrokeCycle, "stroke", locals())


def periodic_motion(mass_kg: Number, duration_s: Any, thrust_N: Any, k_kg_m: Any) -> Motion:
    """Periodic steady state of m dv/dt = T - k v2 under phases that repeat, exact for constant phases.

    Parameters
    ----------
    mass_kg : number
        Body and added mass.
    duration_s, thrust_N, k_kg_m : array_like
        One entry for each phase, scalars are repeated; negative thrust brakes.

    Returns
    -------
    Motion

    Raises
    ------
    InvalidInput
        Where no motion that keeps going forward exists.

    Examples
    --------
    >>> motion = periodic_motion(mass_kg=70, duration_s=[0.5, 0.5], thrust_N=[80, 20], k_kg_m=25)
    >>> motion.period_s, motion.v_m_s.shape == motion.t_s.shape
    (1.0, True)
    """
    return Motion(_core.periodic_motion(mass_kg, duration_s, thrust_N, k_kg_m))


class LoadEffect(NamedTuple):
    """What a weight or foam does to the trim.

    Attributes
    ----------
    name : str
    lift_N : float
        Upward positive.
    from_soles_m : float
    incline_change_deg : tuple of float
        Value and standard deviation, legs down positive.
    floats : bool
        The body with it.
    carried_by_stroke_N : float
    immersion_m : float or None
        Change of depth of the hips, deeper positive; none if the body sinks with it or without.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> load = balance(swimmer, aids=Buoy("3L")).loads[0]
    >>> load.lift_N > 0, load.incline_change_deg[0] < 0
    (True, True)
    """

    name: str
    lift_N: float
    from_soles_m: float
    incline_change_deg: Tuple[float, float]
    floats: bool
    carried_by_stroke_N: float
    immersion_m: Optional[float]


class HeadLift(Result):
    """What a lifted head does to the hips.

    Attributes
    ----------
    share : float
        Of the head out of the water.
    moment_N_m : float
        Hips down.
    held_deg, peak_deg, mean_deg : float
        Hip drop if it stayed out, the peak of the swing, and its mean over time.
    held_log_sd : float
        Standard deviation of the logarithm of ``held_deg``.
    lag_s, overshoot, breath_every_s : float
    t_s, swing_deg : numpy.ndarray
        From one breath to the next.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> head = balance(swimmer, head_lift_deg=20).head
    >>> head.swing_deg.shape == head.t_s.shape, head.swing_deg.max() > 0
    (True, True)
    """

    share: float
    moment_N_m: float
    held_deg: float
    held_log_sd: float
    peak_deg: float
    mean_deg: float
    lag_s: float
    overshoot: float
    breath_every_s: float
    t_s: np.ndarray[Any, Any]
    swing_deg: np.ndarray[Any, Any]

    def __repr__(self) -> str:
        return f"HeadLift({100 * self.share:.0f} % of the head out: hips {self.peak_deg:.2g} deg lower at the peak)"


class Balance(Answer):
    """How the body floats, and what changes its incline, made by `balance`.

    Attributes
    ----------
    volume_m3, lung_gas_m3, density_kg_m3 : float
    floats : bool
        Without the aids.
    carried_by_stroke_N : float
    centre_of_buoyancy_m, centre_of_mass_m : float
        From the soles along the body.
    still_moment_N_m, stiffness_N_m_per_deg : tuple of float
        Value and standard deviation; legs down positive.
    immersion_m : float or None
        Depth of the hips under the still water; none if the body sinks.
    waterplane_m2 : float
        0 if the body sinks.
    loads : tuple of LoadEffect
    together : LoadEffect or None
        Of more than one.
    head : HeadLift or None
    notes, cautions : tuple of str
    asked : dict
        Of whom and of what: swimmer, aids, composition, replaced coefficients ..., and the version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = balance(swimmer, aids=Belt(2))
    >>> result.loads[0].name, result.loads[0].lift_N < 0
    ('belt 2.00 kg', True)
    """

    volume_m3: float
    lung_gas_m3: float
    density_kg_m3: float
    floats: bool
    carried_by_stroke_N: float
    centre_of_buoyancy_m: float
    centre_of_mass_m: float
    still_moment_N_m: Tuple[float, float]
    stiffness_N_m_per_deg: Tuple[float, float]
    immersion_m: Optional[float]
    waterplane_m2: float
    loads: Tuple[LoadEffect, ...]
    together: Optional[LoadEffect]
    head: Optional[HeadLift]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"loads": LoadEffect, "together": LoadEffect, "head": HeadLift}

    def __repr__(self) -> str:
        said = f"{self.density_kg_m3:.0f} kg/m3, stiffness {self.stiffness_N_m_per_deg[0]:.2g} N m per degree"
        return f"Balance({said}; {in_short(self.asked, False)})"


def balance(
    body: Who,
    *,
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    breathe: Optional[str] = None,
) -> Balance:
    """How the body floats, and what weight, foam, lungs or a lifted head change about its incline.

    A physics estimate, for changes about the swimmer's own incline.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    aids : Aid or list of Aid, optional
        Those with weight or foam change the trim; each alone, and all together.
    composition : Composition, optional
        Lungs, fat, age.
    head_lift_deg, head_lift_m : number, optional
        Head raised from the trunk line, or the rise of its centre.
    breathe : str, optional
        How often the head is lifted; the stroke's usual unless given.

    Returns
    -------
    Balance

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = balance(swimmer, head_lift_m="6cm", composition=Composition(lungs="full"))
    >>> result.head.peak_deg > 0
    True
    >>> round(1000 * result.lung_gas_m3) > 4  # litres
    True
    """
    return answered(Balance, "balance", locals())


class AidEffect(NamedTuple):
    """What one aid does, with 95 % intervals.

    Attributes
    ----------
    aid, what : str
    drag_area_m2 : Estimate
        The aid's own CdA.
    k_added_kg_m : Estimate
        All that is added to drag over speed squared.
    speed_change : Estimate
        Relative, at constant power, without breathing.
    incline_change_deg : Estimate
        Legs down positive.
    breath_penalty_ratio, same_drop_ratio : Estimate
        The price of the same breath, and of the same hip drop, with the aid over without.
    because : tuple of Contribution
        Of breath_penalty_ratio.
    draws : numpy.ndarray
        Of breath_penalty_ratio.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> belt = aids(swimmer, 1.5, Belt(2), draws=500).effects[0]
    >>> belt.what, belt.breath_penalty_ratio.low < belt.breath_penalty_ratio.high
    ('belt 2.00 kg', True)
    """

    aid: str
    what: str
    drag_area_m2: Estimate
    k_added_kg_m: Estimate
    speed_change: Estimate
    incline_change_deg: Estimate
    breath_penalty_ratio: Estimate
    same_drop_ratio: Estimate
    because: Tuple[Contribution, ...]
    draws: np.ndarray[Any, Any]

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and all(map(same, self, other))  # type: ignore[call-overload]

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash((self.aid, self.what, self.breath_penalty_ratio))


class WantedLoad(NamedTuple):
    """How much of an aid magnifies the same breath's price by a wanted ratio.

    Attributes
    ----------
    aid, unit : str
        belt in kg, shorts and drogue in m2, tether in N.
    wanted, amount, largest : float
        The ratio; the amount whose median ratio it is; the amount searched to.
    reachable : bool
    ratio : Estimate
        With that amount.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> load = aids(swimmer, 1.5, Tether(20), want="x1.1", draws=500).wanted[0]
    >>> load.reachable, load.amount < load.largest
    (True, True)
    """

    aid: str
    unit: str
    wanted: float
    reachable: bool
    amount: float
    largest: float
    ratio: Estimate


class AidsResult(Answer):
    """What training aids do, made by `aids`.

    Attributes
    ----------
    own_k_kg_m, hip_drop_deg : float
        Active drag over speed squared without aids; drop of the breath priced.
    breath_cost : Estimate
        Relative loss of speed by that breath without aids.
    effects : tuple of AidEffect
        Each alone; then all together if more than one was named.
    wanted : tuple of WantedLoad
    notes, cautions : tuple of str
    asked : dict
        Of whom and of what: swimmer, speed, breathing, replaced coefficients ..., and the version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = aids(swimmer, 1.5, Tether(20), want="x1.1", draws=500)
    >>> result.wanted[0].aid, result.wanted[0].unit
    ('belt', 'kg')
    """

    own_k_kg_m: float
    hip_drop_deg: float
    breath_cost: Estimate
    effects: Tuple[AidEffect, ...]
    wanted: Tuple[WantedLoad, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"effects": AidEffect, "wanted": WantedLoad}

    def __repr__(self) -> str:
        listed = ", ".join(f"{e.what} x {e.breath_penalty_ratio.median:.3g}" for e in self.effects)
        return f"AidsResult({listed}; {in_short(self.asked, False)})"


def aids(
    body: Who,
    speed_m_s: Number,
    worn: Union[Aid, Sequence[Aid], None] = None,
    *,
    want: Any = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    breathe: Optional[str] = None,
    composition: Optional[Composition] = None,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> AidsResult:
    """By how much training aids magnify a breath, and what they do to drag, speed and incline.

    A physics estimate: no published newtons for drag shorts and no degrees for belts were found.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    speed_m_s : number
        Without aids and without breathing, 0.1 to 4 m/s.
    worn : Aid or list of Aid, optional
        What a pool has at hand unless given.
    want : number or str, optional
        How much dearer the same breath should be, ``"x1.5"``: says which load does it.
    hip_drop_deg, hip_drop_m : number, optional
        Of the breath to price; that of a usual crawl breath unless given.
    head_lift_deg, head_lift_m : number, optional
        How far the head comes up: prices its own drag too, and without a hip drop the hips it sinks.
    breathe : str, optional
    composition : Composition, optional
    record, name : optional
        As of `cost`.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    AidsResult

    Warnings
    --------
    Worn weight: standing depth, a quick-release buckle and a spotter; the pool's rules and a qualified coach
    come first. See ``cautions``.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = aids(swimmer, 1.5, [Belt(2), Tether(20)], draws=500)
    >>> [effect.what for effect in result.effects]
    ['belt 2.00 kg', 'tether 20.0 N', 'all together']
    >>> "quick-release buckle" in result.cautions[0]
    True
    """
    given = dict(locals(), aids=worn)
    del given["worn"]
    return answered(AidsResult, "aids", given)
