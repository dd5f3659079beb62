"""What a fault costs: the race with it less the race without it."""

from __future__ import annotations

from typing import Any, ClassVar, Dict, Iterator, List, Mapping, NamedTuple, Optional, Sequence
from typing import Tuple, Union, overload

import numpy as np

from . import _core
from ._body import Array, Many, Number, Scalar
from ._draws import Contribution, Estimate, ufloat_of
from ._errors import InvalidInput, UnknownKey, shown, shown_text, wrong_type
from ._picture import VIEWS, Charted
from ._squad import DataFrame, answers_of, is_frame
from ._swim import Aid, Composition, Path, Who, aid_cores, answered, asked_of, body_of, composition_core
from ._swim import in_short, swim_core
from ._values import Frozen, Ranged, flag, has, html_table, sealed, structured

__all__ = [
    "Cost", "cost", "Costs", "implied_hip_drop", "ImpliedDrop", "Inverse", "LegCost", "sweep", "wanted_gain",
    "what_if",
]  # fmt: skip


class LegCost(NamedTuple):
    """One stroke of the race.

    Attributes
    ----------
    stroke : str
    time_s, surface_speed_m_s : float
    cost_s : Estimate
    low_share : float
        Of each stroke cycle that the hips are low.
    mean_hip_drop_deg : float
        Over the surface swimming.
    when : {"breath", "always", "never"}
        When the hips are low.
    breathing : str

    Examples
    --------
    >>> swimmer = Body("m", 1.85, 80)
    >>> legs = cost(swimmer, event="200 IM", time_s=130, hip_drop_deg=3, draws=500).legs
    >>> [leg.stroke for leg in legs]
    ['fly', 'back', 'breast', 'crawl']
    """

    stroke: str
    time_s: float
    surface_speed_m_s: float
    cost_s: Estimate
    low_share: float
    mean_hip_drop_deg: float
    when: str
    breathing: str


def _seconds(s: float) -> str:
    """As the library's own words have a cost."""
    return _core.in_seconds(s)


def _said_range(e: Estimate) -> str:
    return f"{_seconds(e.median)} s, {100 * e.level:.3g} % range {_seconds(e.low)} to {_seconds(e.high)} s"


class Cost(Charted, Ranged):
    """Seconds that a fault takes from a race, made by `cost`. ``print`` it for the words.

    Attributes
    ----------
    median, low, high, level : float
        Seconds; the same as ``cost_s``.
    draws : numpy.ndarray
        Shape ``(draws,)``: cost in seconds, in draw order.
    weights : numpy.ndarray or None
        How much each draw counts, by her record; all the same without one.
    because : tuple of Contribution
        What makes the range wide, largest share of the variance first.
    in_combination : float
        The rest, which the inputs explain only together.
    cost_s, per_degree_s, drag_change : Estimate
        Cost of the race; of each degree on average; mean extra drag while swimming, as a fraction.
    hips_s, head_s : Estimate
        What the hips cost, and what the lifted head adds by its own drag: within ``cost_s`` if ``head_priced``,
        else beside it.
    head_priced : bool
        A head lift was given.
    head_lift_deg : float
        That, or one usual breath's.
    hip_drop_deg, mean_hip_drop_deg, low_share, priced_share : float
        The peak; its mean over the surface swimming; share of each cycle with low hips; share of the race
        priced.
    legs : tuple of LegCost
    notes, cautions : tuple of str
    event, course : str
    time_s : float
    when : {"breath", "always"}
        When the hips are low.
    breathe : str
        The pattern priced, by stroke in a medley; empty where the hips stay down.
    full_over_quasi_steady, aid_ratio : Estimate or None
        By what the cost was multiplied, if priced within the stroke or with aids worn.
    asked : dict
        Of whom and of what: swimmer, method, tilt model, replaced coefficients, given, aids ..., and the
        version.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4)
    >>> result.low < result.median < result.high, result.draws.shape
    (True, (20000,))
    >>> result.breathe, result.when, result.asked["method"]
    ('every-2', 'breath', 'planimetric')
    """

    event: str
    course: str
    time_s: float
    when: str
    breathe: str
    hip_drop_deg: float
    head_priced: bool
    head_lift_deg: float
    cost_s: Estimate
    hips_s: Estimate
    head_s: Estimate
    per_degree_s: Estimate
    drag_change: Estimate
    mean_hip_drop_deg: float
    low_share: float
    priced_share: float
    legs: Tuple[LegCost, ...]
    because: Tuple[Contribution, ...]
    in_combination: float
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    full_over_quasi_steady: Optional[Estimate]
    aid_ratio: Optional[Estimate]
    draws: np.ndarray[Any, Any]
    weights: Optional[np.ndarray[Any, Any]]
    _bodies: Dict[str, Any]  # her body as drawn, by view
    _parts: ClassVar[Dict[str, Any]] = {"legs": LegCost}
    _range = "cost_s"

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        super().__init__({**fields, "_bodies": {view: fields[view] for view in VIEWS}}, asked)

    def to_ufloat(self) -> Any:
        """Mean and standard deviation of the draws as a value of the ``uncertainties`` package, if installed."""
        return ufloat_of(self.draws, self.event, self.weights)

    def __repr__(self) -> str:
        race = f"{self.event} {self.course} {_core.format_time(self.time_s)} swum {self.asked['given']}"
        fault = f"{self.hip_drop_deg:.3g} deg {self.when if self.when == 'always' else shown_text(self.breathe, 40)}"
        return f"Cost({race} {fault}: {_said_range(self.cost_s)}; {in_short(self.asked, True)})"


class Costs(Frozen):
    """Many costs at once, made by `cost` from arrays; all attributes have the broadcast shape.

    Attributes
    ----------
    median, low, high : numpy.ndarray
        Seconds.
    level : float
    draws : numpy.ndarray
        The broadcast shape and one axis more, of the draws.
    table : numpy.ndarray
        Structured array of inputs and results, as `sweep` returns it.
    cautions : tuple of str
        All that any of them carries.
    shape : tuple of int

    It is used as a table: ``costs["cost_s"]`` is a column, ``costs[1:]`` and ``costs[0, 2]`` are the costs of
    some of the races, its length is that of the first axis.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> costs = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=[2, 4], draws=500)
    >>> len(costs), costs.draws.shape
    (2, (2, 500))
    >>> costs["hip_drop_deg"]
    array([2., 4.])
    >>> costs[1:].shape
    (1,)
    """

    __slots__ = ("table", "draws", "level", "cautions")
    table: np.ndarray[Any, Any]
    draws: np.ndarray[Any, Any]
    level: float
    cautions: Tuple[str, ...]

    def __init__(
        self, table: np.ndarray[Any, Any], draws: np.ndarray[Any, Any], level: float, cautions: Sequence[str]
    ) -> None:
        self._set(table=table, draws=draws, level=level, cautions=cautions)

    @property
    def shape(self) -> Tuple[int, ...]:
        return self.table.shape

    def __len__(self) -> int:
        return len(self.table)

    def __getitem__(self, which: Any) -> Any:
        if isinstance(which, str):
            known = self.table.dtype.names or ()
            if which not in known:
                raise UnknownKey(
                    "column", shown(which), f"unknown column {shown(which)}; one of {', '.join(known)}"
                )
            return self.table[which]
        rows = np.asarray(self.table[which])
        own = tuple(c for c in self.cautions if any(c in said for said in rows["cautions"].ravel()))
        return Costs(rows, np.asarray(self.draws[which]), self.level, own)

    def __iter__(self) -> Iterator[Costs]:
        return (self[i] for i in range(len(self)))

    def to_records(self) -> np.ndarray[Any, Any]:
        """The table, a structured array."""
        return self.table

    @property
    def median(self) -> np.ndarray[Any, Any]:
        return self.table["cost_s"]

    @property
    def low(self) -> np.ndarray[Any, Any]:
        return self.table["low_s"]

    @property
    def high(self) -> np.ndarray[Any, Any]:
        return self.table["high_s"]

    def __reduce__(self) -> Tuple[Any, ...]:
        return Costs, (self.table, self.draws, self.level, self.cautions)

    def __repr__(self) -> str:
        if self.table.size == 0:
            return f"Costs(shape {self.table.shape})"
        ends = f"{_seconds(self.median.min())} to {_seconds(self.median.max())} s at the median"
        return f"Costs(shape {self.table.shape}, {ends})"

    def _repr_html_(self) -> str:
        head = ("event", "time_s", "hip_drop_deg", "cost_s", "low_s", "high_s")
        notes = "".join(f"<p>{caution}</p>" for caution in self.cautions)
        return html_table(head, self.table.ravel()[:20][list(head)].tolist()) + notes


# Parameters of a race. Those that a sweep reports come first.
_DEFAULTS: Dict[str, Any] = {
    "event": None, "course": "lcm", "time_s": None, "hip_drop_deg": None, "hip_drop_m": None,
    "hip_drop_sd_deg": None, "hip_drop_sd_m": None, "head_lift_deg": None, "head_lift_m": None, "when": None,
    "breathe": None, "given": "with", "splits_s": None, "start_underwater_m": None, "turn_underwater_m": None,
}  # fmt: skip


def _request(who: Who, race: Dict[str, Any], rest: Tuple[Any, ...]) -> Any:
    aids, composition, within_stroke = rest
    call = {**race, "within_stroke": flag("within_stroke", within_stroke)}
    return _core.CostRequest(swim_core(who), call, aid_cores(aids), composition_core(composition))


def _axis(name: str, value: Any) -> Optional[np.ndarray[Any, Any]]:
    """An array of objects where a parameter is a list or an array; None for a single value."""
    if name == "splits_s" or value is None or isinstance(value, (str, bytes, int, float)):
        return None
    _core.refuse_labels(value, name)
    if isinstance(value, range):
        value = list(value)
    if has(value, "magnitude") and has(value, "units"):
        if np.ndim(value.magnitude) == 0:
            return None
        return np.asarray(_core.read_array(value, name, str(_core.unit_of(name))), dtype=object)
    if not isinstance(value, (list, tuple, np.ndarray)) and not has(value, "__array__"):
        return None
    kind = getattr(getattr(value, "dtype", None), "kind", "O")
    if kind not in "fiuUO":
        raise wrong_type(name, value, "numbers, texts or quantities")
    array = _objects(name, value) if isinstance(value, (list, tuple)) else np.asarray(value, dtype=object)
    return array if array.ndim else None


def _objects(name: str, value: Any) -> np.ndarray[Any, Any]:
    """A nested list as an array of its items, whatever they are; NumPy would strip quantities of their unit."""
    shape: List[int] = []
    first = value
    while isinstance(first, (list, tuple)):
        shape.append(len(first))
        first = first[0] if first else None
    out = np.empty(shape, dtype=object)

    def fill(at: Tuple[int, ...], item: Any) -> None:
        inner = isinstance(item, (list, tuple))
        if inner != (len(at) < len(shape)) or (inner and len(item) != shape[len(at)]):
            raise InvalidInput(name, "rows of different lengths", "an array, or a list of values")
        if not inner:
            out[at] = item
            return
        for i, each in enumerate(item):
            fill((*at, i), each)

    fill((), value)
    return out


def _spread(
    who: Any, race: Dict[str, Any]
) -> Tuple[Tuple[int, ...], np.ndarray[Any, Any], Dict[str, np.ndarray[Any, Any]]]:
    """Who and the race, broadcast to one shape, which is empty if nothing is an array."""
    axes: Dict[str, np.ndarray[Any, Any]] = {}
    bodies = _axis("body", who)
    if bodies is not None:
        axes["body"] = bodies
    for name, value in race.items():
        axis = _axis(name, value)
        if axis is not None:
            axes[name] = axis
    try:
        shape = np.broadcast_shapes(*(axis.shape for axis in axes.values()))
    except ValueError:
        shapes = " and ".join(str(axis.shape) for axis in axes.values())
        raise InvalidInput(
            ", ".join(axes), f"arrays of shapes {shapes}", "shapes that broadcast together"
        ) from None

    def full(name: str, value: Any) -> np.ndarray[Any, Any]:
        if name in axes:
            return np.broadcast_to(axes[name], shape)
        out = np.empty(shape, dtype=object)
        for at in np.ndindex(shape):  # one by one: a list of splits is one value, and no array
            out[at] = value
        return out

    return shape, full("body", who), {name: full(name, value) for name, value in race.items()}


_RESULTS = ("cost_s", "low_s", "high_s", "per_degree_s", "per_degree_low_s", "per_degree_high_s", "drag_change",
            "drag_change_low", "drag_change_high", "peak_hip_drop_deg", "mean_hip_drop_deg", "priced_share")  # fmt: skip


# In every table; other columns are there if they tell its rows apart.
_ALWAYS = ("event", "course", "time_s", "hip_drop_deg", "breathe", "when", "given")


def _identity(asked: Sequence[Mapping[str, Any]]) -> Dict[str, np.ndarray[Any, Any]]:
    """Columns of whom and by what; of other fields of the swims those that vary."""
    replaced = [", ".join(f"{k}={_plain(v)}" for k, v in each["coefficients"].items()) for each in asked]
    texts = {name: [each[name] for each in asked] for name in ("swimmer", "method", "tilt_model", "version")}
    always = {
        name: np.array(values, dtype=str) for name, values in {**texts, "coefficients": replaced}.items()
    }
    rest: Dict[str, Sequence[Any]] = {
        "measured": [", ".join(f"{k}={v:.10g}" for k, v in each["body"].measured.items()) for each in asked],
    }
    for name in ("stroke", "waves", "posture", "water", "incline_deg", "depth_m", "k_kg_m", "age_years"):
        rest[name] = [each[name] for each in asked]
    return {**always, **_varying(rest)}


def _plain(value: Any) -> str:
    return "+-".join(f"{x:.10g}" for x in value) if isinstance(value, tuple) else f"{value:.10g}"


def _varying(columns: Mapping[str, Sequence[Any]]) -> Dict[str, np.ndarray[Any, Any]]:
    """Those columns whose values differ, as numbers in their unit where they all are, else as text."""
    out = {}
    for name, values in columns.items():
        if len({repr(value) for value in values}) < 2:
            continue
        try:
            unit = _core.unit_of(name) or "1"
            out[name] = np.array([np.nan if x is None else _core.read(x, name, unit) for x in values])
        except (ValueError, TypeError):
            out[name] = np.array(["" if x is None else str(x) for x in values], dtype=str)
    return out


def _run_many(spread: Any, rest: Tuple[Any, ...], options: Any, keep_draws: bool) -> Any:
    """The table, the draws if kept, and all cautions of races that `_spread` has laid out."""
    shape, bodies, given = spread
    flat = {name: column.ravel() for name, column in given.items()}
    people = bodies.ravel()
    requests = []
    for i, person in enumerate(people):
        try:
            requests.append(_request(person, {name: column[i] for name, column in flat.items()}, rest))
        except (InvalidInput, UnknownKey) as error:
            if not shape:
                raise
            at = [int(axis) for axis in np.unravel_index(i, shape)]
            if isinstance(error, UnknownKey):
                raise UnknownKey(error.kind, error.key, f"at {at}: {error.message}") from None
            raise InvalidInput(f"{error.field} at {at}", error.value, error.allowed) from None
    numbers, draws, cautions, when, breathing = _core.costs(requests, options, keep_draws, shape)

    swimmers = [body_of(person) for person in people]
    results = dict(zip(_RESULTS, np.asarray(numbers).T))
    asked = [asked_of(person) for person in people]

    def texts(values: Any) -> np.ndarray[Any, Any]:
        return np.array(list(values), dtype=str)

    columns = {
        "sex": texts(body.sex for body in swimmers),
        "stature_m": np.array([body.stature_m for body in swimmers], dtype=float),
        "mass_kg": np.array([body.mass_kg for body in swimmers], dtype=float),
        "event": texts(request.event for request in requests),
        "course": texts(flat["course"]),
        "breathe": texts(mine or priced for mine, priced in zip(flat["breathe"], breathing)),
        "time_s": np.array([request.time_s for request in requests], dtype=float),
        "hip_drop_deg": results.pop("peak_hip_drop_deg"),
        **results,
        "when": texts(when),
        "given": texts(flat["given"]),
        **_identity(asked),
        **{name: column for name, column in _varying(flat).items() if name not in _ALWAYS},
        "cautions": texts(" ".join(listed) for listed in cautions),
    }
    table = structured(columns, (len(requests),))
    all_cautions = list(dict.fromkeys(sentence for listed in cautions for sentence in listed))
    return table.reshape(shape), draws.reshape(shape + draws.shape[1:]) if keep_draws else None, all_cautions


# fmt: off
@overload
def cost(  # type: ignore[misc]
    body: Who, *, event: str, time_s: Scalar, course: str = ..., hip_drop_deg: Optional[Scalar] = ...,
    breathe: Optional[str] = ..., hip_drop_m: Optional[Scalar] = ..., hip_drop_sd_deg: Optional[Scalar] = ...,
    hip_drop_sd_m: Optional[Scalar] = ..., head_lift_deg: Optional[Scalar] = ...,
    head_lift_m: Optional[Scalar] = ..., when: Optional[str] = ..., given: str = ...,
    splits_s: Optional[Sequence[Number]] = ..., start_underwater_m: Optional[Scalar] = ...,
    turn_underwater_m: Optional[Scalar] = ..., aids: Union[Aid, Sequence[Aid], None] = ...,
    composition: Optional[Composition] = ..., within_stroke: bool = ..., record: Optional[Path] = ...,
    name: Optional[str] = ..., draws: int = ..., seed: int = ..., level: float = ..., threads: int = ...,
) -> Cost: ...
@overload
def cost(
    body: Union[Who, Sequence[Who]], *, event: Any, time_s: Array, course: Any = ..., hip_drop_deg: Array = ...,
    breathe: Any = ..., hip_drop_m: Array = ..., hip_drop_sd_deg: Array = ..., hip_drop_sd_m: Array = ...,
    head_lift_deg: Array = ..., head_lift_m: Array = ..., when: Any = ..., given: Any = ...,
    splits_s: Optional[Sequence[Number]] = ..., start_underwater_m: Array = ..., turn_underwater_m: Array = ...,
    aids: Union[Aid, Sequence[Aid], None] = ..., composition: Optional[Composition] = ...,
    within_stroke: bool = ..., draws: int = ..., seed: int = ..., level: float = ..., threads: int = ...,
) -> Costs: ...
@overload
def cost(body: DataFrame, **race: Any) -> Any: ...
# fmt: on


def cost(  # type: ignore[misc]
    body: Union[Who, Sequence[Who], DataFrame],
    *,
    event: Any = None,
    time_s: Array = None,
    course: Any = "lcm",
    hip_drop_deg: Array = None,
    breathe: Any = None,
    hip_drop_m: Array = None,
    hip_drop_sd_deg: Array = None,
    hip_drop_sd_m: Array = None,
    head_lift_deg: Array = None,
    head_lift_m: Array = None,
    when: Any = None,
    given: Any = "with",
    splits_s: Optional[Sequence[Number]] = None,
    start_underwater_m: Array = None,
    turn_underwater_m: Array = None,
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    within_stroke: bool = False,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Any:
    """Seconds that low hips cost over a race, for a swimmer who gives what she gave.

    Calibrated on the swimmer's own time, so that the absolute drag cancels and only its relative change
    remains. Every parameter that describes the race, and the body too, may be a list or an array; they
    broadcast, and all cores are used. One race gives a `Cost`, several give `Costs`; a data frame with a row for
    each swimmer gives a data frame.

    Parameters
    ----------
    body : Body, Swim or Swimmer, a list of them, or pandas.DataFrame
        A frame has the columns of ``dragcalc cost --squad``, by their names there or by those of the parameters:
        name, sex, stature_m, mass_kg, event, time_s, hip_drop_deg ...; what a row does not say the call does.
    event : str
        "100 free", "200 butterfly", "400 IM".
    time_s : number
        Race time; as text also ``"1:02.40"``.
    course : {"lcm", "scm", "scy"}
        50 m, 25 m or 25 yd.
    hip_drop_deg, hip_drop_m : number
        How much lower the hips go, as an angle or as a depth; one of them, or a head lift.
    breathe : str, optional
        "never", "every-2", "every-3", "alternate" ..., a list per length "every-3,every-2", for a medley by
        stroke "fly=every-1,free=every-2"; as usual for the stroke unless given.
    hip_drop_sd_deg, hip_drop_sd_m : number, optional
        How sure the drop is; 1 degree, at most a quarter of the drop, unless given.
    head_lift_deg, head_lift_m : number, optional
        How far the head comes up to breathe, from which a hip drop follows.
    when : {"breath", "always"}, optional
        The hips drop with each breath and come back (the default, but in backstroke), or stay down.
    given : {"with", "without"}
        Whether the time was swum with or without the fault.
    splits_s : list of four numbers, optional
        Of a medley, fly to free.
    start_underwater_m, turn_underwater_m : number, optional
        Under water after the start (with the flight) and after each turn.
    aids : Aid or list of Aid, optional
        Worn while swimming: the same breath then costs more, or with a snorkel nothing.
    composition : Composition, optional
        For what an aid or the head does to the incline.
    within_stroke : bool
        Price breaths by the full motion within the stroke instead of the quasi-steady shortcut.
    record : str or path-like, optional
        Of one race: as her record has her, her drop and draws weighed by all that was seen; see `measured`.
    name : str, optional
        The swimmer in the record; not needed where the file has only one.
    draws : int
        Monte Carlo draws, 100 to 100 million.
    seed : int
        Same seed, same answer.
    level : float
        Coverage of the intervals, 0.5 to 0.999.
    threads : int
        0 takes all cores. The answer does not depend on it.

    Returns
    -------
    Cost, Costs or pandas.DataFrame
        The frame has the rows in their order and their index; ``error`` says why a row has no answer, and
        ``attrs["notes"]`` which columns were not read.

    Raises
    ------
    InvalidInput, UnknownKey
        With the line that ``dragcalc cost`` prints.

    Warnings
    --------
    Never trade breathing for speed on this tool's word: swimming on few breaths, holding the breath and
    hyperventilating before a swim can kill without warning. The pool's and the federation's rules and a
    qualified coach on deck come first. See ``cautions`` of the result.

    Examples
    --------
    >>> swimmer = Body(sex="f", stature_m="172cm", mass_kg=63)
    >>> cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, breathe="every-2")
    Cost(100 m freestyle lcm 1:02.40 swum with 4 deg every-2: 0.50 s, 95 % range 0.18 to 1.5 s; f 1.72 m
    63 kg, crawl, planimetric)
    """
    given_here = dict(locals(), within_stroke=flag("within_stroke", within_stroke))
    if is_frame(body):
        return answers_of("cost", given_here)
    spread = _spread(body, {key: given_here[key] for key in _DEFAULTS})
    if not spread[0]:
        return answered(Cost, "cost", given_here)
    for key, value in (("record", record), ("name", name)):
        if value is not None:
            raise InvalidInput(key, shown(value), "nothing beside several races")
    options = _core.Options(draws, seed, level, threads)
    table, all_draws, cautions = _run_many(spread, (aids, composition, within_stroke), options, True)
    return Costs(table, all_draws, level, cautions)


def sweep(
    body: Union[Who, Sequence[Who]],
    *,
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    within_stroke: bool = False,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
    **race: Any,
) -> np.ndarray[Any, Any]:
    """A squad, or a grid of races, as one table: `cost` without the draws, on all cores.

    Parameters
    ----------
    body : Body, Swim or Swimmer, or a list of them
    **race
        The parameters of `cost` that describe the race, each a value, a list or an array; they broadcast
        against each other and against the bodies. A grid: ``hip_drop_deg=np.arange(1, 6)[:, None],
        time_s=times``.
    aids, composition, within_stroke, draws, seed, level, threads
        As of `cost`, one value for all.

    Returns
    -------
    numpy.ndarray
        Structured, in the broadcast shape, with the fields ``sex``, ``stature_m``, ``mass_kg``, ``event``,
        ``course``, ``breathe``, ``time_s``, ``hip_drop_deg``, ``cost_s``, ``low_s``, ``high_s``,
        ``per_degree_s`` and its ends, ``drag_change`` and its ends, ``mean_hip_drop_deg``, ``priced_share``,
        ``when``, ``given``, ``swimmer``, ``method``, ``tilt_model``, ``coefficients``, ``version``,
        ``cautions``, and one for each other parameter, or field of the swims, that varies. It is read only;
        `to_pandas` and `to_xarray` take it.

    Raises
    ------
    TypeError
        For a parameter that `cost` does not have.
    InvalidInput, UnknownKey
        Naming the element at fault.

    Examples
    --------
    >>> squad = [Body("f", 1.65, 55), Body("f", 1.80, 70)]
    >>> table = sweep(squad, event="200 free", time_s=[135.0, 129.0], hip_drop_deg=3, draws=2000)
    >>> table.shape, table["stature_m"].tolist()
    ((2,), [1.65, 1.8])
    """
    unknown = [name for name in race if name not in _DEFAULTS]
    if unknown:
        raise wrong_type("sweep", unknown[0], f"{', '.join(_DEFAULTS)}")
    options = _core.Options(draws, seed, level, threads)
    spread = _spread(body, {**_DEFAULTS, **race})
    table: np.ndarray[Any, Any] = _run_many(spread, (aids, composition, within_stroke), options, False)[0]
    sealed(table)
    return table


def what_if(body: Who, drops_deg: Sequence[Number], **race: Any) -> Costs:
    """The ladder of smaller drops: the same race with each of them, from the same draws.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    drops_deg : list of number
        Hip drops, degrees; text may give a depth, ``"6cm"``.
    **race
        As of `cost`, without a hip drop.

    Returns
    -------
    Costs
        One for each drop.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ladder = what_if(swimmer, [1, 2, 3], event="100 free", time_s="1:02.40", draws=500)
    >>> ladder.median.shape, bool((ladder.median[1:] > ladder.median[:-1]).all())
    ((3,), True)
    """
    _core.refuse_labels(drops_deg, "drops")
    listed = isinstance(drops_deg, (list, tuple, range)) or (
        has(drops_deg, "__array__") and np.ndim(drops_deg) == 1
    )
    if not listed:
        raise wrong_type("drops", drops_deg, "a list of angles, as [1, 2, 3]")
    result = cost(body, hip_drop_deg=list(drops_deg), **race)
    assert isinstance(result, Costs)
    return result


class Inverse(Charted):
    """What it takes to gain a wanted time, made by `wanted_gain`.

    Attributes
    ----------
    wanted_s : float
    reachable : bool
        By taking away all of the drop, at the median.
    hip_drop_left_deg : Estimate
        What may be left; 0 where all of it is not enough.
    share_left : Estimate
        Of the whole fault, as a fraction: for a head lift, which is not given as a hip drop.
    chance : float
        Share of draws in which taking away all of it is enough.
    most_s : Estimate
        What taking away all of it buys.
    cautions : tuple of str
    asked : dict
        As of `Cost`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> inverse = wanted_gain(swimmer, 0.2, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> inverse.wanted_s, 0 < inverse.chance < 1
    (0.2, True)
    """

    wanted_s: float
    reachable: bool
    hip_drop_left_deg: Estimate
    share_left: Estimate
    chance: float
    most_s: Estimate
    cautions: Tuple[str, ...]

    def __repr__(self) -> str:
        said = f"{self.wanted_s:.3g} s wanted, chance {100 * self.chance:.0f} %"
        return f"Inverse({said}; {_of_race(self.asked)})"


def _of_race(asked: Mapping[str, Any]) -> str:
    return f"{shown_text(str(asked['event']), 40)} {asked['course']}, {in_short(asked, True)}"


def _about(body: Who, race: Dict[str, Any], **question: Any) -> Dict[str, Any]:
    """The keywords of a question about one race."""
    more = ("aids", "composition", "within_stroke", "record", "name", "draws", "seed", "level", "threads")
    unknown = [name for name in race if name not in (*_DEFAULTS, *more)]
    if unknown:
        raise wrong_type("race", unknown[0], f"{', '.join(_DEFAULTS)}")
    usual = {"course": "lcm", "aids": None, "composition": None, "draws": 20000, "seed": 1, "level": 0.95}
    within = flag("within_stroke", race.get("within_stroke", False))
    return {**usual, **race, "within_stroke": within, "body": body, **question}


def wanted_gain(body: Who, gain_s: Number, **race: Any) -> Inverse:
    """Which hip drop buys a wanted gain, or that it cannot be bought this way.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    gain_s : number
        More than 0 s and less than the race.
    **race
        As of `cost`, with the hip drop of today, which a ``record`` has as well.

    Returns
    -------
    Inverse

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> wanted = wanted_gain(swimmer, 0.2, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> wanted.most_s.low < 0.2
    True
    """
    return answered(Inverse, "cost", _about(body, race, want_s=gain_s))


class ImpliedDrop(Charted):
    """Which hip drop two times imply, made by `implied_hip_drop`.

    Attributes
    ----------
    hip_drop_deg : Estimate or None
        None where no drop of up to 45 degrees explains the difference in at least half of the draws.
    explained : float
        Share of draws in which a drop of up to 45 degrees explains the difference.
    cautions : tuple of str
    asked : dict
        As of `Cost`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> implied = implied_hip_drop(swimmer, "1:02.00", event="100 free", time_s="1:02.40", draws=500)
    >>> 0 < implied.explained <= 1
    True
    """

    hip_drop_deg: Optional[Estimate]
    explained: float
    cautions: Tuple[str, ...]

    def __repr__(self) -> str:
        drop = "no drop" if self.hip_drop_deg is None else f"{self.hip_drop_deg} deg"
        said = f"{drop}, explained in {100 * self.explained:.0f} % of the draws"
        return f"ImpliedDrop({said}; {_of_race(self.asked)})"


def implied_hip_drop(body: Who, time_without_s: Number, **race: Any) -> ImpliedDrop:
    """Which hip drop explains the difference between two times, one with the fault and one without.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    time_without_s : number
        The shorter time, swum without the fault.
    **race
        As of `cost`, without a hip drop; ``time_s`` is the time with the fault.

    Returns
    -------
    ImpliedDrop

    Raises
    ------
    InvalidInput
        If the time with the fault is the shorter one.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> implied = implied_hip_drop(swimmer, "1:02.00", event="100 free", time_s="1:02.40", draws=500)
    >>> implied.hip_drop_deg.median > 0
    True
    """
    return answered(ImpliedDrop, "cost", _about(body, race, time_without_s=time_without_s))
