"""Passive and active drag."""

from __future__ import annotations

from html import escape
from typing import Any, ClassVar, Dict, Optional, Sequence, Tuple, Union

import numpy as np

from . import _core
from ._body import Array, Number
from ._draws import Contribution, Estimate, ufloat_of
from ._errors import UnknownKey, shown
from ._picture import Charted
from ._swim import Aid, Composition, Who, answered, as_bool, asked_of, in_short, swim_core
from ._values import Frozen, kept, sealed, structured, three_digits

__all__ = ["active_drag", "ActiveDrag", "Drag", "drag", "passive_drag", "PassiveDrag", "tilt_ratio"]


def _point(which: int) -> Any:
    return property(lambda drag: drag._values[which])


def _flag(which: int) -> Any:
    return property(lambda drag: as_bool(drag._values[which]))


def _end(which: int) -> Any:
    return property(lambda drag: drag._interval(which))


class _Drag(Frozen):
    """Point values at once, intervals when they are asked for."""

    __slots__ = ("_call", "_values", "_intervals")
    _call: Tuple[Any, ...]
    _values: Any
    _intervals: Any

    def __init__(self, call: Tuple[Any, ...], values: Any) -> None:
        set_ = object.__setattr__  # numbers alone have nothing to seal, and calls are short
        set_(self, "_call", call)
        set_(self, "_values", values if type(values[0]) is float else sealed(values))
        set_(self, "_intervals", None)

    def _interval(self, which: int) -> Any:
        found = self._intervals
        if found is None:
            who, restroked, speed, incline, depth, options, population = self._call
            core = _core.restroked(swim_core(who), *restroked)
            found = _core.drag_interval(core, speed, incline, depth, _core.Options(*options), population)
            self._set(_intervals=found)
        return self._intervals[which]

    @property
    def asked(self) -> Dict[str, Any]:
        who, (stroke, method), speed, incline, depth, (draws, seed, level, _), population = self._call
        other = {"stroke": stroke, "method": method, "incline_deg": incline, "depth_m": depth}
        given = {name: value for name, value in other.items() if value is not None}
        run = {"population": population, "draws": draws, "seed": seed, "level": level}
        return asked_of(who, **given, speed_m_s=speed, **run)

    @property
    def cautions(self) -> Tuple[str, ...]:
        me: Any = self
        return tuple(_core.drag_cautions(swim_core(self._call[0]), bool(np.all(me.within_validity))))

    @property
    def k_kg_m(self) -> Any:
        point: Any = self
        return _core.speed_specific_drag(point.total_N, self._call[2])

    def __reduce__(self) -> Tuple[Any, ...]:
        return type(self), (self._call, self._values)

    def __repr__(self) -> str:
        me: Any = self
        name, total = type(self).__name__, me.total_N
        if isinstance(total, float):
            level = 100 * self._call[5][2]
            middle, low, high = map(three_digits, (total, me.low_N, me.high_N))
            said = f"{middle} N, {level:.3g} % range {low} to {high} N"
        else:
            said = f"shape {total.shape}"
            known = total[~np.isnan(total)]
            if known.size > 0:
                said += f", total_N {three_digits(known.min())} to {three_digits(known.max())}"
        return f"{name}({said}; {in_short(self.asked, self._method)})"

    _method: ClassVar[bool] = False  # that it matters how active drag was measured

    def _html(self, head: str) -> str:
        return head + "".join(f"<p>{escape(sentence)}</p>" for sentence in self.cautions)

    def _table(self, names: Sequence[str]) -> np.ndarray[Any, Any]:
        """The arguments that were given, and some attributes."""
        given = zip(("speed_m_s", "incline_deg", "depth_m"), self._call[2:5])
        columns = {name: np.asarray(value) for name, value in given if value is not None}
        columns.update({name: np.asarray(getattr(self, name)) for name in (*names, "within_validity")})
        return structured(columns, columns["total_N"].shape)


class PassiveDrag(_Drag):
    """Drag of a body that holds still; numbers in the broadcast shape of speed, incline and depth.

    Attributes
    ----------
    total_N, friction_N, pressure_N, wave_N : float or numpy.ndarray
        Point values, newtons; the parts add up to the total.
    k_kg_m : float or numpy.ndarray
        Total over speed squared.
    median_N, low_N, high_N : float or numpy.ndarray
        Monte Carlo of one swimmer of this size, made when first asked for: about 10 ms for each element.
    within_validity : bool or numpy.ndarray
        0.8 to 2.3 m/s and up to 15 degrees, where it was measured.
    cautions : tuple of str
        About the body, the water, and what lies outside the range of validity.
    asked : dict
        Of whom and of what: swimmer, posture, stroke, method, tilt model, replaced coefficients, speed ...,
        and the version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> d = passive_drag(swimmer, 1.5, incline_deg=[0, 10])
    >>> bool(d.total_N[0] < d.total_N[1])
    True
    >>> d.to_records().dtype.names[:3]
    ('speed_m_s', 'incline_deg', 'total_N')
    """

    __slots__ = ()

    total_N, friction_N, pressure_N, wave_N = map(_point, range(4))
    within_validity = _flag(4)
    median_N, low_N, high_N = map(_end, range(3))

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array of what was given and the point values, in the broadcast shape."""
        return self._table(["total_N", "friction_N", "pressure_N", "wave_N", "k_kg_m"])

    def _repr_html_(self) -> str:
        if not isinstance(self.total_N, float):
            return self._html(f"<p>{escape(repr(self))}</p>")
        parts = zip(("total", "friction", "pressure", "waves"), self._values)
        rows = "".join(
            f"<tr><td>{name}</td><td>{value:.3g} N</td><td>{100 * value / self.total_N:.0f} %</td></tr>"
            for name, value in parts
        )
        return self._html(f"<table>{rows}</table><p>{escape(repr(self))}</p>")


class ActiveDrag(_Drag):
    """Drag of a swimming body: passive drag times a factor of stroke and method, or her own k.

    Attributes
    ----------
    total_N, k_kg_m : float or numpy.ndarray
        Point values in the broadcast shape.
    median_N, low_N, high_N : float or numpy.ndarray
        Monte Carlo, made when first asked for: about 10 ms for each element.
    within_validity : bool or numpy.ndarray
        Of the passive drag behind it: 0.8 to 2.3 m/s and up to 15 degrees, where it was measured.
    cautions : tuple of str
        About the body, the water, and what lies outside the range of validity.
    asked : dict
        As of `PassiveDrag`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> d = active_drag(swimmer, 1.5)
    >>> d.low_N < d.total_N < d.high_N
    True
    >>> d.asked["method"]
    'planimetric'
    """

    __slots__ = ()
    _method: ClassVar[bool] = True

    total_N, within_validity = _point(0), _flag(1)
    median_N, low_N, high_N = map(_end, range(3, 6))

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array of what was given and the point values, in the broadcast shape."""
        return self._table(["total_N", "k_kg_m"])

    def _repr_html_(self) -> str:
        said = escape(repr(self))
        if isinstance(self.total_N, float):
            said += f": k = {self.k_kg_m:.3g} kg/m; methods differ by a factor of two"
        return self._html(f"<p>{said}</p>")


# The defaults, recognised by identity: a call that takes them has nothing to check.
_DRAWS, _SEED, _LEVEL, _SWIMMER = 20000, 1, 0.95, "swimmer"


def passive_drag(
    body: Who,
    speed_m_s: Array,
    incline_deg: Array = None,
    depth_m: Array = None,
    *,
    draws: int = _DRAWS,
    seed: int = _SEED,
    level: float = _LEVEL,
    population: str = _SWIMMER,
) -> PassiveDrag:
    """Friction, pressure and waves of a body that is towed or glides (model eq. 4 to 6 and 8).

    Speed, incline and depth broadcast against each other.

    Parameters
    ----------
    body : Body, Swim or Swimmer
        A body alone is streamlined, in fresh water of 27 degrees Celsius.
    speed_m_s : number or array_like
        0.1 to 4 m/s.
    incline_deg : number or array_like, optional
        Trunk incline, 0 to 60 degrees; unless given the swim's own if it has one, else that of a towed body:
        at the surface it falls with speed, under water it is level.
    depth_m : number or array_like, optional
        Of the body's axis, 0 to 5 m; the swim's own (0, the surface) unless given.
    draws, seed, level
        Of the Monte Carlo behind ``low_N`` and ``high_N``.
    population : str
        Whom the interval is about: "swimmer" (one of this size), "typical" (the one in the middle of them) or
        "mean-of=12" (of a sample).

    Returns
    -------
    PassiveDrag

    Raises
    ------
    InvalidInput
        Naming the first element that is outside what is allowed, or shapes that do not broadcast.

    References
    ----------
    Friction ITTC-57; pressure calibrated on Vilas-Boas et al. 2010; waves Mollendorf et al. 2004; tilt models
    in ``tilt.hpp``. `sources` lists every number.

    Examples
    --------
    >>> d = passive_drag(Body(sex="f", stature_m=1.72, mass_kg=63), speed_m_s=[1.0, 1.5], incline_deg=5)
    >>> [f"{total:.1f}" for total in d.total_N]
    ['19.6', '47.2']
    """
    values = _core.passive_drag(swim_core(body), speed_m_s, incline_deg, depth_m)
    call = _remembered(body, (None, None), speed_m_s, incline_deg, depth_m, (draws, seed, level), population)
    return PassiveDrag(call, values)


def _remembered(
    who: Who,
    restroked: Tuple[Any, Any],
    speed: Any,
    incline: Any,
    depth: Any,
    options: Tuple[Any, Any, Any],
    population: Any,
) -> Tuple[Any, ...]:
    """A call as its interval needs it later; what is wrong with it is said now."""
    draws, seed, level = options
    if not (draws is _DRAWS and seed is _SEED and level is _LEVEL):
        _core.Options(draws, seed, level, 0)
    if population is not _SWIMMER:
        _core.check_population(population)
    numbers = (
        kept(speed, "speed", "m/s"),
        None if incline is None else kept(incline, "incline", "deg"),
        None if depth is None else kept(depth, "depth", "m"),
    )
    return (who, restroked, *numbers, (*options, 0), population)


def active_drag(
    body: Who,
    speed_m_s: Array,
    incline_deg: Array = None,
    depth_m: Array = None,
    *,
    stroke: Optional[str] = None,
    method: Optional[str] = None,
    draws: int = _DRAWS,
    seed: int = _SEED,
    level: float = _LEVEL,
    population: str = _SWIMMER,
) -> ActiveDrag:
    """Drag of the swimming body (model eq. 7). Speed, incline and depth broadcast.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    speed_m_s : number or array_like
        0.1 to 4 m/s.
    incline_deg : number or array_like, optional
        Trunk incline while stroking, 0 to 60 degrees; the swim's own or the stroke's default unless given.
    depth_m : number or array_like, optional
        As of `passive_drag`.
    stroke : {"crawl", "back", "breast", "fly"}, optional
        Else the swim's.
    method : {"planimetric", "push-off-pads", "perturbation", "residual-thrust", "assisted-tow"}, optional
        How active drag was measured; else the swim's. The methods disagree by a factor of two.
    draws, seed, level, population
        As of `passive_drag`.

    Returns
    -------
    ActiveDrag

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> d = active_drag(swimmer, [1.0, 1.5], stroke="back")
    >>> d.total_N.shape, bool((d.low_N < d.total_N).all())
    ((2,), True)
    """
    core = _core.restroked(swim_core(body), stroke, method)
    values = _core.active_drag(core, speed_m_s, incline_deg, depth_m)
    call = _remembered(
        body, (stroke, method), speed_m_s, incline_deg, depth_m, (draws, seed, level), population
    )
    return ActiveDrag(call, values)


class Drag(Charted):
    """All of a swim's resistance at one speed, with intervals and what makes them wide, made by `drag`.

    Attributes
    ----------
    speed_m_s, projected_area_m2, wetted_area_m2, tilt_ratio : float
    incline_deg, towed_incline_deg : float
        Of the trunk, swimming (active drag, area and tilt ratio) and towed (passive drag).
    passive_N, active_N, passive_k_kg_m, active_k_kg_m : Estimate
        Median and interval.
    passive_point_N, friction_N, pressure_N, wave_N, active_point_N : float
        Point values at the middle of everything.
    within_validity : bool
        0.8 to 2.3 m/s and up to 15 degrees, where it was measured.
    because_passive, because_active : tuple of Contribution
    draws : dict of str to numpy.ndarray
        ``passive_N``, ``active_N``, ``friction_N``, ``pressure_N``, ``wave_N``; one element per draw.
    cautions : tuple of str
    asked : dict
        Of whom and of what: swimmer, posture, stroke, method, tilt model, replaced coefficients, aids ..., and
        the version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = drag(swimmer, 1.5, draws=500)
    >>> sorted(result.draws)
    ['active_N', 'friction_N', 'passive_N', 'pressure_N', 'wave_N']
    """

    speed_m_s: float
    incline_deg: float
    towed_incline_deg: float
    projected_area_m2: float
    wetted_area_m2: float
    tilt_ratio: float
    passive_N: Estimate
    active_N: Estimate
    passive_k_kg_m: Estimate
    active_k_kg_m: Estimate
    passive_point_N: float
    friction_N: float
    pressure_N: float
    wave_N: float
    active_point_N: float
    within_validity: bool
    because_passive: Tuple[Contribution, ...]
    because_active: Tuple[Contribution, ...]
    draws: Dict[str, np.ndarray[Any, Any]]
    cautions: Tuple[str, ...]

    def to_ufloat(self, name: str = "passive_N") -> Any:
        """Mean and standard deviation of one of the draws as a value of the ``uncertainties`` package."""
        if not isinstance(name, str) or name not in self.draws:
            known = ", ".join(self.draws)
            raise UnknownKey("draws", shown(name), f"unknown draws {shown(name)}; one of {known}")
        return ufloat_of(self.draws[name], name)

    def __repr__(self) -> str:
        said = f"{self.speed_m_s:.3g} m/s: passive {self.passive_N} N, active {self.active_N} N"
        return f"Drag({said}; {in_short(self.asked, True)})"


def drag(
    body: Who,
    speed_m_s: Number,
    *,
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    population: str = "swimmer",
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Drag:
    """Passive and active drag at one speed with intervals, as ``dragcalc drag`` gives them.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    speed_m_s : number
        0.1 to 4 m/s.
    aids : Aid or list of Aid, optional
        What is worn or towed.
    composition : Composition, optional
        For what an aid does to the incline.
    population : str
        Whom the intervals are about: "swimmer", "typical" or "mean-of=12".
    draws, seed, level, threads
        Of the Monte Carlo. The answer does not depend on the threads; 0 takes all cores.

    Returns
    -------
    Drag
        ``print`` it for the words.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = drag(Swim(swimmer, stroke="fly"), "1.4m/s", draws=500)
    >>> result.passive_N.median < result.active_N.median
    True
    >>> "Passive" in str(result), result.asked["stroke"]
    (True, 'fly')
    """
    return answered(Drag, "drag", locals())


def tilt_ratio(body: Who, to_deg: Array, from_deg: Array = 0.0, *, model: Optional[str] = None) -> Any:
    """Drag at one trunk incline over drag at another, at constant speed (model eq. 8).

    Parameters
    ----------
    body : Body, Swim or Swimmer
    to_deg, from_deg : number or array_like
        0 to 60 degrees; beyond 15 every model extrapolates.
    model : {"blend", "projected", "damped", "slope", "crossflow"}, optional
        Else the swim's.

    Returns
    -------
    float or numpy.ndarray

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> tilt_ratio(swimmer, [0, 10], model="slope")
    array([1.        , 1.31554179])
    """
    return _core.tilt_ratio(swim_core(body), model, from_deg, to_deg)


TILT_MODELS = ("projected", "damped", "slope", "crossflow", "blend")
