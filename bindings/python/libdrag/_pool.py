"""What was seen at the pool: the record, timed swims, film, glides, loaded swims, and whether it is closing."""

from __future__ import annotations

import datetime
import os
from dataclasses import dataclass
from typing import Any, ClassVar, Dict, List, Mapping, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from . import _core
from ._body import Array, Number
from ._draws import Contribution, Estimate
from ._errors import shown_text, wrong_type
from ._picture import Charted
from ._swim import Path, Who, answered, ask, path_of, place_of
from ._values import (
    Answer,
    FrozenDict,
    Reported,
    Result,
    attributes_of,
    flag,
    frozen,
    html_table,
    sealed,
    structured,
)

__all__ = [
    "angle", "append_to_record", "Appended", "Design", "design", "DesignRow", "FarOut", "FilmEstimate", "FilmFile", "Fit", "Frame", "Gap", "Glide",
    "glide", "GlideEstimate", "GlideFit", "GlideRatio", "HeldGlides", "Learnt", "loaded", "LoadedEstimate",
    "LoadedSwims", "Measured", "measured", "mirrored_order", "NextMeasurement", "pool_test_plan", "PoolTest", "PoolTestPlan", "Progress", "progress",
    "ProgressLevel", "RaceResult", "read_record", "Record", "Remark", "SeenDrop", "TimedSwim", "trials", "Watch",
    "watch",
]  # fmt: skip

Day = Union[str, datetime.date]


def _date(given: Any) -> Any:
    """A day as text; whatever else it is, the core refuses it."""
    return given.isoformat() if isinstance(given, datetime.date) else given


def _given(**call: Any) -> Dict[str, Any]:
    """The keywords that were given; None is no number of draws."""
    run = ("draws", "seed", "level", "threads")
    return {name: value for name, value in call.items() if value is not None or name in run}


def _coefficients(given: Any) -> Dict[str, Any]:
    if given is not None and not isinstance(given, Mapping):
        raise wrong_type("coefficients", given, "a dictionary of keys as sources() lists them")
    return dict(given or {})


# --- what stands in a record ------------------------------------------------------------------------


class TimedSwim(NamedTuple):
    """One swim of a `PoolTest`.

    Attributes
    ----------
    how : str
        "snorkel", "every-2", "never"; what else differs after a semicolon: "every-2; belt 2kg".
    time_s : float
        As text also ``"0:14.32"``.
    order : int
        As swum, over all ways to swim; 0 in all of them: as listed.
    strokes : int or None
    note : str
    left_out : bool
        Kept, but not used.
    row : int
        Of the file it came from, 0 if it came from none.

    Examples
    --------
    >>> TimedSwim("snorkel", 14.32).strokes is None
    True
    """

    how: str
    time_s: Number
    order: int = 0
    strokes: Optional[int] = None
    note: str = ""
    left_out: bool = False
    row: int = 0


class PoolTest(Result):
    """Timed swims of one day that belong together.

    Parameters
    ----------
    date : str or datetime.date
        ``"2026-11-25"`` or ``"25.11.2026"``.
    swims : sequence of TimedSwim
    distance_m : number
        Timed; ``"25yd"``.
    stroke : {"crawl", "back", "breast", "fly"}
    surface_m : number, optional
        Of it, swum on the surface; all of it unless given.
    by : {"stopwatch", "pads", "video"}
    turns : bool
        A turn lies in the timed part.
    set : str
        Tells two tests of one day apart.

    Examples
    --------
    >>> test = PoolTest("2026-11-25", [TimedSwim("snorkel", 14.32), TimedSwim("every-2", 14.6)], distance_m=25)
    >>> [swim.time_s for swim in test.swims], test.by
    ([14.32, 14.6], 'stopwatch')
    """

    date: str
    stroke: str
    distance_m: float
    surface_m: Optional[float]
    by: str
    turns: bool
    set: str
    swims: Tuple[TimedSwim, ...]
    _parts: ClassVar[Dict[str, Any]] = {"swims": TimedSwim}

    def __init__(
        self,
        date: Day,
        swims: Sequence[TimedSwim],
        *,
        distance_m: Number,
        stroke: str = "crawl",
        surface_m: Number = None,
        by: str = "stopwatch",
        turns: bool = False,
        set: str = "",
    ) -> None:
        if not isinstance(swims, (list, tuple)) or not all(isinstance(swim, TimedSwim) for swim in swims):
            raise wrong_type("swims", swims, "a list of TimedSwim")
        listed = [{**swim._asdict(), "left_out": flag("left_out", swim.left_out)} for swim in swims]
        call = {
            "date": _date(date),
            "stroke": stroke,
            "distance_m": distance_m,
            "surface_m": surface_m,
            "by": by,
            "turns": flag("turns", turns),
            "set": set,
            "swims": listed,
        }
        super().__init__(_core.pool_test(call))

    def _call(self) -> Dict[str, Any]:
        own = {name: getattr(self, name) for name in attributes_of(PoolTest)}
        return {**own, "swims": [swim._asdict() for swim in self.swims]}

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array, a row for each swim; strokes that nobody counted are 0."""
        names = TimedSwim._fields
        return structured({
            name: [(getattr(swim, name) or 0) if name == "strokes" else getattr(swim, name) for swim in self.swims]
            for name in names
        })  # fmt: skip

    def __repr__(self) -> str:
        kinds = ", ".join(dict.fromkeys(swim.how for swim in self.swims))
        said = f"{self.date} {self.stroke}, {len(self.swims)} swims of {self.distance_m:.4g} m"
        return f"PoolTest({said}: {shown_text(kinds, 80)})"


class SeenDrop(Result):
    """How far the hips drop with a breath, as the record has it.

    Attributes
    ----------
    date, stroke, how : str
    drop_deg, drop_m : float or None
        As it was seen: the one or the other.
    drop_sd_deg, drop_sd_m : float or None
        Of the reading, if the record says it.
    side : {"toward", "away", "both", "deck"}
        Film from the side she breathes to, from the other, the mean of the two, or by eye.
    note : str
    row : int

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> _ = append_to_record(path, "Mia", "drop", date="2026-11-25", drop_deg=4, side="both")
    >>> read_record(path).drops[0].drop_deg
    4.0
    """

    date: str
    stroke: str
    how: str
    drop_deg: Optional[float]
    drop_m: Optional[float]
    drop_sd_deg: Optional[float]
    drop_sd_m: Optional[float]
    side: str
    note: str
    row: int

    def __repr__(self) -> str:
        drop = f"{self.drop_m:.3g} m" if self.drop_deg is None else f"{self.drop_deg:.3g} deg"
        return f"SeenDrop({self.date} {self.stroke}: {drop}, {self.side})"


class Glide(Result):
    """Positions after a push-off without strokes.

    Parameters
    ----------
    time_s, distance_m : array_like
        Of one mark on the body, at least five points from the feet leaving the wall to the first movement.
    held_deg : number
        How much lower the hips were held than in her level glide, 0 to 30.
    depth_m : number, optional
        Under water.
    date : str or datetime.date, optional
    set : str
        Tells two glides of one day apart.

    Attributes
    ----------
    row : int
        Of the file it came from, 0 if it came from none.

    Examples
    --------
    >>> Glide([0, 0.4, 0.8, 1.2, 1.6, 2], [0.5, 1.35, 2.1, 2.75, 3.35, 3.9], held_deg=8)
    Glide(6 points over 2 s, held 8 deg lower)
    """

    date: Optional[str]
    held_deg: float
    depth_m: Optional[float]
    time_s: np.ndarray[Any, Any]
    distance_m: np.ndarray[Any, Any]
    set: str
    row: int

    def __init__(
        self,
        time_s: Array,
        distance_m: Array,
        *,
        held_deg: Number = 0.0,
        depth_m: Number = None,
        date: Optional[Day] = None,
        set: str = "",
    ) -> None:
        call = {
            "time_s": time_s,
            "distance_m": distance_m,
            "held_deg": held_deg,
            "depth_m": depth_m,
            "date": _date(date),
            "set": set,
        }
        super().__init__(_core.glide_points(call))

    def _call(self) -> Dict[str, Any]:
        return {name: getattr(self, name) for name in attributes_of(Glide)}

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array, a row for each point."""
        return structured({"time_s": self.time_s, "distance_m": self.distance_m})

    def __repr__(self) -> str:
        day = "" if self.date is None else f"{self.date}: "
        over = self.time_s[-1] - self.time_s[0] if len(self.time_s) else 0.0
        return f"Glide({day}{len(self.time_s)} points over {over:.3g} s, held {self.held_deg:.3g} deg lower)"


class LoadedSwims(Result):
    """The same swim free and against a known force, or towed by one, as the record has it.

    Attributes
    ----------
    date, stroke, set : str
    load_N : float
        Against her; below 0 a tow.
    distance_m : float
    by : {"stopwatch", "pads", "video"}
    free_s, loaded_s : numpy.ndarray
    row : int

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> swim = dict(date="2026-11-25", distance_m=25)
    >>> _ = append_to_record(path, "Mia", "loaded", time_s=15.4, **swim)
    >>> _ = append_to_record(path, "Mia", "loaded", time_s=17.6, load_N=45, **swim)
    >>> read_record(path).loaded
    (LoadedSwims(2026-11-25 crawl: 1 free, 1 against 45 N),)
    """

    date: str
    stroke: str
    load_N: float
    distance_m: float
    by: str
    free_s: np.ndarray[Any, Any]
    loaded_s: np.ndarray[Any, Any]
    set: str
    row: int

    def __repr__(self) -> str:
        load = f"{'against' if self.load_N >= 0 else 'towed by'} {abs(self.load_N):.3g} N"
        return f"LoadedSwims({self.date} {self.stroke}: {len(self.free_s)} free, {len(self.loaded_s)} {load})"


class RaceResult(NamedTuple):
    """A race as the record has it.

    Attributes
    ----------
    date, event, course : str
    time_s : float
    row : int

    Examples
    --------
    >>> RaceResult("2026-11-25", "100 m freestyle", "lcm", 62.4, 2).time_s
    62.4
    """

    date: str
    event: str
    course: str
    time_s: float
    row: int


class FilmFile(NamedTuple):
    """A film of the record whose points are in a file of their own, which `angle` reads.

    Attributes
    ----------
    date, stroke, how, side : str
    path : str
        As the record has it, relative to the record's folder.
    row : int

    Examples
    --------
    >>> FilmFile("2026-11-25", "crawl", "every-2", "toward", "mia.csv", 2).path
    'mia.csv'
    """

    date: str
    stroke: str
    how: str
    side: str
    path: str
    row: int


class Remark(NamedTuple):
    """A remark of the record.

    Attributes
    ----------
    date, text : str
    row : int

    Examples
    --------
    >>> Remark("2026-11-25", "tired from school", 2).text
    'tired from school'
    """

    date: str
    text: str
    row: int


class Record(Result):
    """What the record says about one swimmer, by kind and each kind by date; made by `read_record`.

    Attributes
    ----------
    path : str
    swimmer : str
        As the file spells it.
    tests : tuple of PoolTest
    drops : tuple of SeenDrop
    glides : tuple of Glide
    loaded : tuple of LoadedSwims
    races : tuple of RaceResult
    films : tuple of FilmFile
    remarks : tuple of Remark
    notes : tuple of str
        What was not read, and what a spreadsheet may have spoilt.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> _ = append_to_record(path, "Mia", "race", date="2026-11-25", event="100 free", time_s="1:02.40")
    >>> read_record(path, "mia").races[0].time_s
    62.4
    """

    path: str
    swimmer: str
    tests: Tuple[PoolTest, ...]
    drops: Tuple[SeenDrop, ...]
    glides: Tuple[Glide, ...]
    loaded: Tuple[LoadedSwims, ...]
    races: Tuple[RaceResult, ...]
    films: Tuple[FilmFile, ...]
    remarks: Tuple[Remark, ...]
    notes: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {
        "drops": SeenDrop, "loaded": LoadedSwims, "races": RaceResult, "films": FilmFile, "remarks": Remark,
    }  # fmt: skip

    def __init__(self, fields: Dict[str, Any]) -> None:
        def made(cls: Any, each: Dict[str, Any]) -> Any:
            out = cls.__new__(cls)
            Result.__init__(out, each)
            return out

        own = {name: tuple(made(cls, each) for each in fields[name])
               for name, cls in (("tests", PoolTest), ("glides", Glide))}  # fmt: skip
        super().__init__({**fields, **own})

    def __repr__(self) -> str:
        kinds = ("tests", "drops", "glides", "loaded", "races", "films", "remarks")
        listed = ", ".join(f"{len(getattr(self, kind))} {kind}" for kind in kinds if getattr(self, kind))
        return f"Record({shown_text(self.swimmer, 40)!r}: {listed or 'nothing'})"

    def _repr_html_(self) -> str:
        rows: List[Tuple[str, str]] = []
        for kind in ("tests", "drops", "glides", "loaded", "races", "films", "remarks"):
            rows += [(kind, shown_text(str(each))) for each in getattr(self, kind)]
        return html_table(("", self.swimmer), rows)


def read_record(
    path: Path,
    name: Optional[str] = None,
    *,
    date: Optional[Day] = None,
    stroke: Optional[str] = None,
    distance_m: Number = None,
    by: Optional[str] = None,
) -> Record:
    """Reads what a record says about one swimmer: a CSV as `append_to_record`, ``dragcalc log`` or a spreadsheet write it.

    Parameters
    ----------
    path : str or path-like
        At most 25 MB.
    name : str, optional
        Case does not count; not needed where the file is about one swimmer.
    date, stroke, distance_m, by : optional
        What stands for a column that the file does not have, or a cell that is empty.

    Returns
    -------
    Record

    Raises
    ------
    InvalidInput, UnknownKey
        With row and column; for a name that the file does not have, with the nearest.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "today.csv")
    >>> _ = open(path, "w").write("kind,how,time (s)\\nswim,snorkel,14.32\\nswim,every-2,14.60\\n")
    >>> read_record(path, date="2026-11-25", distance_m=25, stroke="crawl").tests[0].swims[1].time_s
    14.6
    """
    usual = {"date": _date(date), "stroke": stroke, "distance_m": distance_m, "by": by}
    place = path_of(path)
    return Record({**_core.read_record(place, name, usual), "path": os.fsdecode(place)})


class Appended(Reported):
    """What was written to a record, made by `append_to_record`. ``print`` it for the words.

    Attributes
    ----------
    file, swimmer : str
    created : bool
        The file is new.
    rows : tuple of dict
        The new ones: the cells that hold something, and ``row``, its number in a spreadsheet.
    notes, cautions : tuple of str

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> done = append_to_record(path, "Mia", how="every-2", distance_m=25, time_s=[14.6, 14.7], date="2026-11-25")
    >>> done.created, [row["order"] for row in done.rows]
    (True, [1, 2])
    """

    file: str
    swimmer: str
    created: bool
    rows: Tuple[Dict[str, Any], ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _report: Dict[str, str]

    def __init__(self, fields: Dict[str, Any]) -> None:
        super().__init__({**fields, "_report": {form: fields[form] for form in ("words", "json", "csv")}})

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array of the new rows."""
        names = list(dict.fromkeys(name for row in self.rows for name in row))
        return structured({name: [row.get(name, "") for row in self.rows] for name in names})

    def __repr__(self) -> str:
        return f"Appended({len(self.rows)} rows about {shown_text(self.swimmer, 40)!r})"


def _pair(point: Any) -> str:
    if not isinstance(point, (list, tuple)) or len(point) != 2:
        raise wrong_type("points", point, "pairs of a time and a distance")
    return f"{_core.read(point[0], 'time', 's')!r}s:{_core.read(point[1], 'distance', 'm')!r}m"


def append_to_record(
    path: Path,
    name: str,
    kind: str = "swim",
    *,
    date: Optional[Day] = None,
    stroke: Optional[str] = None,
    note: Optional[str] = None,
    how: Union[str, Sequence[str], None] = None,
    distance_m: Number = None,
    surface_m: Number = None,
    time_s: Array = None,
    strokes: Any = None,
    by: Optional[str] = None,
    set: Optional[str] = None,
    order: Optional[int] = None,
    turn: bool = False,
    left_out: bool = False,
    drop_deg: Number = None,
    drop_m: Number = None,
    drop_sd_deg: Number = None,
    drop_sd_m: Number = None,
    side: Optional[str] = None,
    breaths: Optional[int] = None,
    film: Optional[Path] = None,
    points: Union[str, Sequence[Any], None] = None,
    depth_m: Number = None,
    load_N: Number = None,
    tow_N: Number = None,
    event: Optional[str] = None,
    course: Optional[str] = None,
) -> Appended:
    """Writes what was seen behind the rows of a record, as ``dragcalc log`` does; rows that are there stay as they are.

    Parameters
    ----------
    path : str or path-like
        A CSV for the whole squad; made if there is none.
    name : str
        The swimmer.
    kind : {"swim", "drop", "frames", "glide", "loaded", "race", "remark"}
    date : str or datetime.date, optional
        Today unless given.
    stroke : str, optional
        Crawl unless given.
    note : str, optional
        With the kind remark: the remark.
    how : str or list of str, optional
        "snorkel", "every-2", "every-2; belt 2kg", "every-2; low head"; one for all swims or one for each.
    distance_m, surface_m : number, optional
        Timed, and of it swum on the surface.
    time_s : number or list of them, optional
        Of several swims, in the order swum.
    strokes : int or list of int, optional
        Counted in each.
    by : {"stopwatch", "pads", "video"}, optional
    set : str, optional
        Swims of one set are one test.
    order : int, optional
        Of the first swim within its set; the next unless given.
    turn, left_out : bool
        A turn lies in the timed part; keep the swim and do not count it.
    drop_deg, drop_m, drop_sd_deg, drop_sd_m : number, optional
        How far the hips drop with a breath, and how sure the reading is; of a glide, how much lower they were
        held.
    side : {"toward", "away", "both", "deck"}, optional
        Of a film, or by eye (the default).
    breaths : int, optional
        How many the drop is the mean of; one unless given.
    film : str or path-like, optional
        With the kind frames: the file with the film's points.
    points : list of pairs, optional
        Of a glide: times and distances, ``[(0.5, 1.1), ("1s", "2.0m")]``.
    depth_m : number, optional
        Of a glide, of the body's middle below the surface.
    load_N, tow_N : number, optional
        Against her, or pulling her along; the free swim has neither.
    event, course : str, optional
        Of a race.

    Returns
    -------
    Appended

    Raises
    ------
    InvalidInput, UnknownKey
        With nothing written.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> print(append_to_record(path, "Mia", "drop", date="2026-11-25", drop_deg=4, side="both").rows[0]["drop_deg"])
    4.0
    """
    call = dict(locals())
    call["file"], call["date"] = place_of(call.pop("path")), _date(date)
    for name_ in ("turn", "left_out"):
        call[name_] = flag(name_, call[name_])
    if film is not None:
        call["film"] = place_of(film)
    if points is not None and not isinstance(points, str):
        if not isinstance(points, (list, tuple)):
            raise wrong_type("points", points, "a list of times and distances")
        call["points"] = ",".join(map(_pair, points))
    return Appended(ask("log", {**_given(**call), "kind": kind}))


# --- timed swims ------------------------------------------------------------------------------------


class Gap(NamedTuple):
    """How much slower one way to swim is than another, by the watch alone.

    Attributes
    ----------
    how, than : str
        Above 0 the first is the slower one.
    swims, swims_than : int
    gap_percent, low, high, se_percent : float
        Of the time, with its interval and its standard error.
    dof : float
        Of Student's t behind the interval.
    shown : bool
        The interval does not contain 0.
    chance_slower : float
        That it is slower at all, with nothing known before.
    smallest_percent : float
        So many swims show a gap of this size half the time.
    wrong_way : float or None
        Of swimmers like her, the share for whom the watch would point the wrong way after so many swims.
    with_a_slip_percent : Estimate or None
        With one swim perhaps gone wrong.
    strokes_change : Estimate or None
        Of the stroke count, for the distance timed.

    Examples
    --------
    >>> times = {"snorkel": (14.31, 14.40), "every-2": (14.62, 14.55)}
    >>> swims = [TimedSwim(how, t) for how, pair in times.items() for t in pair]
    >>> gap = watch(PoolTest("2026-11-25", swims, distance_m=25)).gaps[0]
    >>> gap.how, gap.than, gap.low < gap.gap_percent < gap.high
    ('every-2', 'snorkel', True)
    """

    how: str
    than: str
    swims: int
    swims_than: int
    gap_percent: float
    low: float
    high: float
    se_percent: float
    dof: float
    shown: bool
    chance_slower: float
    smallest_percent: float
    wrong_way: Optional[float]
    with_a_slip_percent: Optional[Estimate]
    strokes_change: Optional[Estimate]


class FarOut(NamedTuple):
    """A swim that is far from what the others say: shown, and used.

    Attributes
    ----------
    date : str
    order, row : int
        `row` of the file, 0 if it came from none.
    how : str
    time_s : float
    percent : float
        From what the others say, slower above 0.
    chance : float
        That something went wrong in it.

    Examples
    --------
    >>> FarOut("2026-11-25", 3, 0, "every-2", 15.9, 8.1, 0.97).order
    3
    """

    date: str
    order: int
    row: int
    how: str
    time_s: float
    percent: float
    chance: float


class Watch(Charted):
    """What the watch alone says about the ways to swim, made by `watch`. ``print`` it for the words.

    Attributes
    ----------
    gap_percent, low, high, se_percent : float
        Of the first of the gaps, in per cent of the time.
    gaps : tuple of Gap
        All pairs of ways to swim.
    trend_percent : float or None
        Of the time over a set, slower above 0.
    cv_percent : float
        Typical error: scatter of one swim, the watch's included.
    strokes_change : Estimate or None
    level : float
    swims, days : int
    far_out : tuple of FarOut
    notes, cautions : tuple of str
    asked : dict
        Replaced coefficients, level, and the version.

    Examples
    --------
    >>> order = mirrored_order(2, each=4)
    >>> times = [14.31, 14.60, 14.66, 14.42, 14.70, 14.39, 14.44, 14.71]
    >>> swims = [TimedSwim(("snorkel", "every-2")[i], t) for i, t in zip(order, times)]
    >>> seen = watch(PoolTest("2026-11-25", swims, distance_m=25))
    >>> seen.gaps[0].shown, seen.swims
    (True, 8)
    """

    gap_percent: float
    low: float
    high: float
    se_percent: float
    trend_percent: Optional[float]
    cv_percent: float
    strokes_change: Optional[Estimate]
    level: float
    swims: int
    days: int
    gaps: Tuple[Gap, ...]
    far_out: Tuple[FarOut, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"gaps": Gap, "far_out": FarOut}

    def __repr__(self) -> str:
        first = self.gaps[0]
        said = Estimate(self.gap_percent, self.low, self.high, self.level)
        return f"Watch({shown_text(first.how, 40)} slower than {shown_text(first.than, 40)} by {said} %)"


def watch(
    tests: Union[PoolTest, Sequence[PoolTest]],
    *,
    reference: Optional[str] = None,
    level: float = 0.95,
    coefficients: Optional[Mapping[str, Any]] = None,
) -> Watch:
    """What the watch alone says: gaps between ways to swim with intervals, the set's trend, the scatter, swims far out.

    Parameters
    ----------
    tests : PoolTest or list of PoolTest
        Of one swimmer and stroke, one for each day or set.
    reference : str, optional
        Against which the others stand first; else the snorkel, else whoever breathes least.
    level : float
        Coverage of the intervals, 0.5 to 0.999.
    coefficients : mapping, optional
        Other values for published numbers, as in `Swim`.

    Returns
    -------
    Watch

    Raises
    ------
    InvalidInput
        Saying what is missing: one way to swim only, too few swims; or which time cannot be.

    Warnings
    --------
    Swims on few breaths or none: see ``cautions``.

    Examples
    --------
    >>> swims = [TimedSwim(how, t) for how, t in zip("ABBA", (14.3, 14.6, 14.7, 14.4))]
    >>> named = [swim._replace(how={"A": "every-4", "B": "every-2"}[swim.how]) for swim in swims]
    >>> watch(PoolTest("2026-11-25", named, distance_m=25)).gap_percent > 0
    True
    """
    listed = [tests] if isinstance(tests, PoolTest) else tests
    if not isinstance(listed, (list, tuple)) or not all(isinstance(test, PoolTest) for test in listed):
        raise wrong_type("tests", tests, "a PoolTest or a list of them")
    values = {"coefficients": _coefficients(coefficients), "tests": [test._call() for test in listed]}
    return answered(Watch, "trials", {"reference": reference, "level": level}, values)


def mirrored_order(conditions: int, each: int) -> Tuple[int, ...]:
    """In which order to swim: conditions 0, 1 ... in mirrored blocks, so that no steady fading favours one.

    Parameters
    ----------
    conditions : int
        2 to 6.
    each : int
        Swims of each, 1 to 50.

    Returns
    -------
    tuple of int

    Examples
    --------
    >>> "".join("AB"[i] for i in mirrored_order(2, each=4))
    'ABBABAAB'
    """
    return tuple(_core.mirrored_order(conditions, each))


class PoolTestPlan(Result):
    """How to swim a test of so many swims, made by `pool_test_plan`.

    Attributes
    ----------
    days : int
    order : tuple of tuple of int
        Of each day.
    rest_s : float
        From the end of a swim to the start of the next.
    why : tuple of str

    Examples
    --------
    >>> plan = pool_test_plan(2, each=6, swim_s=14.5)
    >>> len(plan.order) == plan.days, sum(map(len, plan.order))
    (True, 12)
    """

    days: int
    order: Tuple[Tuple[int, ...], ...]
    rest_s: float
    why: Tuple[str, ...]

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array, a row for each swim."""
        rows = [(day, i) for day, order in enumerate(self.order, 1) for i in order]
        return structured({"day": [day for day, _ in rows], "condition": [i for _, i in rows]})

    def __repr__(self) -> str:
        swims = sum(map(len, self.order))
        return f"PoolTestPlan({swims} swims on {self.days} days, {self.rest_s:.3g} s rest)"


def pool_test_plan(
    conditions: int, each: int, swim_s: Number, *, coefficients: Optional[Mapping[str, Any]] = None
) -> PoolTestPlan:
    """How to swim a test: on how many days, in which order, with how much rest, and why.

    Parameters
    ----------
    conditions : int
        2 to 6.
    each : int
        Swims of each, in all.
    swim_s : number
        About how long one takes.
    coefficients : mapping, optional
        Other values for published numbers, as in `Swim`.

    Returns
    -------
    PoolTestPlan

    Examples
    --------
    >>> pool_test_plan(2, each=4, swim_s=14.5).order[0][:4]
    (0, 1, 1, 0)
    """
    return PoolTestPlan(_core.pool_test_plan(conditions, each, swim_s, _coefficients(coefficients)))


# --- film -------------------------------------------------------------------------------------------


@frozen
@dataclass(frozen=True)
class Frame:
    """Marks on one frame of a side view, in pixels across and down. Which way she swims does not matter.

    Parameters
    ----------
    shoulder, hip : pair of numbers
    at_s : number, optional
        Time within its stroke.
    ankle, head : pair of numbers, optional
    horizon : pair of pairs, optional
        Two points of the water line or a lane rope.
    side : {"toward", "away"}, optional
        The side she breathes to, or the other; of a stroke the first frame's counts.

    Examples
    --------
    >>> Frame((412, 310), (290, 322)).hip
    (290, 322)
    """

    shoulder: Any
    hip: Any
    at_s: Number = None
    ankle: Any = None
    head: Any = None
    horizon: Any = None
    side: Optional[str] = None

    def __post_init__(self) -> None:
        _core.check_frame([self._call()])
        if self.at_s is not None:
            object.__setattr__(self, "at_s", _core.read(self.at_s, "time", "s"))
        for name in ("shoulder", "hip", "ankle", "head", "horizon"):
            value = getattr(self, name)
            object.__setattr__(self, name, sealed(value.tolist() if isinstance(value, np.ndarray) else value))

    def _call(self) -> Tuple[Any, ...]:
        return (self.shoulder, self.hip, self.at_s, self.ankle, self.head, self.horizon, self.side)


Stroke = Union[Frame, Sequence[Frame]]


def _strokes(given: Any, name: str) -> List[List[Tuple[Any, ...]]]:
    """Each a stroke of frames; a frame alone is one."""
    allowed = "frames, each alone or in a list of those of one stroke"
    listed = [given] if isinstance(given, Frame) else given
    if not isinstance(listed, (list, tuple)):
        raise wrong_type(name, given, allowed)
    strokes = [[each] if isinstance(each, Frame) else each for each in listed]
    for stroke in strokes:
        if not isinstance(stroke, (list, tuple)) or not all(isinstance(frame, Frame) for frame in stroke):
            raise wrong_type(name, stroke, allowed)
    return [[frame._call() for frame in stroke] for stroke in strokes]


class FilmEstimate(Answer):
    """What a film says, made by `angle`. ``print`` it for the words.

    Attributes
    ----------
    stroke, side : str
    breaths, without : int
        Strokes with a breath, and without one.
    incline_deg, breath_incline_deg : Estimate or None
        Of the trunk without a breath, and when the hips are lowest.
    hip_drop_deg : Estimate or None
        The second less the first, hips down positive.
    hip_depth_m : Estimate or None
        Of the drop, if the body is known.
    legs_deg : Estimate or None
        Below the trunk's line.
    pulse_width : Estimate or None
        Share of the stroke cycle that a breath keeps the hips low.
    lag : Estimate or None
        From the highest head to the lowest hips, in cycles.
    because : tuple of Contribution
        What makes the drop uncertain, or the incline, largest share of the variance first.
    in_combination : float
    draws : numpy.ndarray or None
        Of the drop, degrees.
    notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, replaced coefficients, and the version.

    Examples
    --------
    >>> seen = angle(breaths=Frame((412, 310), (290, 322)), without=Frame((700, 305), (578, 309)))
    >>> seen.hip_drop_deg.low < seen.hip_drop_deg.median < seen.hip_drop_deg.high
    True
    """

    stroke: str
    side: str
    breaths: int
    without: int
    incline_deg: Optional[Estimate]
    breath_incline_deg: Optional[Estimate]
    hip_drop_deg: Optional[Estimate]
    hip_depth_m: Optional[Estimate]
    legs_deg: Optional[Estimate]
    pulse_width: Optional[Estimate]
    lag: Optional[Estimate]
    because: Tuple[Contribution, ...]
    in_combination: float
    draws: Optional[np.ndarray[Any, Any]]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]

    def __repr__(self) -> str:
        seen = [
            f"{word} {estimate} deg"
            for word, estimate in (("incline", self.incline_deg), ("hip drop", self.hip_drop_deg))
            if estimate is not None
        ]
        return f"FilmEstimate({', '.join(seen)}; {self.stroke}, {self.side})"


def angle(
    file: Optional[Path] = None,
    *,
    breaths: Union[Stroke, Sequence[Stroke]] = (),
    without: Union[Stroke, Sequence[Stroke]] = (),
    side: Optional[str] = None,
    horizon: Any = None,
    slip_px: Number = None,
    cycle_s: Number = None,
    above_water: bool = False,
    stroke: Optional[str] = None,
    body: Optional[Who] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> FilmEstimate:
    """Points marked on a side view to trunk incline and hip drop, with the errors of marks, camera, roll and breaths.

    Parameters
    ----------
    file : str or path-like, optional
        A CSV, one row a frame, as ``dragcalc angle`` reads it; or frames.
    breaths : Frame, or a list of frames or of lists of them
        Each a breath: one frame with the hips at their lowest, or at least six in time order.
    without : Frame, or a list of frames or of lists of them
        Strokes without a breath, at the same moment.
    side : {"toward", "away"}, optional
        Of frames that do not say it: the side she breathes to (the default), or the other.
    horizon : pair of pairs of numbers, optional
        Of frames that have none: two points of the water line or a lane rope.
    slip_px : number, optional
        Standard deviation of a mark, each way.
    cycle_s : number, optional
        Of the stroke; as usual unless given. As text also ``"50/min"``.
    above_water : bool
        The camera looked through the surface from above.
    stroke : str, optional
        Crawl unless given.
    body : Body, Swim or Swimmer, optional
        For a drop in centimetres. A swim's coefficients count, its stroke does not.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    FilmEstimate

    Raises
    ------
    InvalidInput, UnknownKey
        For points that coincide, a trunk that is upright, breaths from a side without strokes from it.

    Examples
    --------
    >>> level = Frame((700, 305), (578, 309))
    >>> seen = angle(breaths=[Frame((412, 310), (290, 322))], without=[level], body=Body("f", 1.72, 63))
    >>> round(seen.hip_drop_deg.median), seen.hip_depth_m.median > 0
    (4, True)
    """
    given = dict(locals(), above_water=flag("above_water", above_water))
    film = (
        _strokes(given.pop("breaths"), "breaths"),
        _strokes(given.pop("without"), "without"),
        given.pop("horizon"),
    )
    return answered(FilmEstimate, "angle", _given(**given), {"film": film})


# --- glides -----------------------------------------------------------------------------------------


class GlideFit(NamedTuple):
    """One glide, as fitted.

    Attributes
    ----------
    held_deg : float
    points : int
    speed_m_s : float
        At the first point.
    stopping_m : float
        The distance over which the glide slows by the factor e.
    residual_m : float
        Standard deviation of a point about the curve.

    Examples
    --------
    >>> her = Glide([0, 0.4, 0.8, 1.2, 1.6, 2], [0.5, 1.35, 2.1, 2.75, 3.35, 3.9])
    >>> glide(Body("f", 1.72, 63), her, draws=500).fits[0].residual_m < 0.02
    True
    """

    held_deg: float
    points: int
    speed_m_s: float
    stopping_m: float
    residual_m: float


class HeldGlides(NamedTuple):
    """Glides that were held alike, together.

    Attributes
    ----------
    held_deg : float
    glides : int
    k_kg_m, drag_area_m2 : Estimate

    Examples
    --------
    >>> her = Glide([0, 0.4, 0.8, 1.2, 1.6, 2], [0.5, 1.35, 2.1, 2.75, 3.35, 3.9])
    >>> held = glide(Body("f", 1.72, 63), her, draws=500).held
    >>> [each.glides for each in held]
    [1]
    """

    held_deg: float
    glides: int
    k_kg_m: Estimate
    drag_area_m2: Estimate


class GlideRatio(NamedTuple):
    """A lower hold against the highest one: what tilt does to drag.

    Attributes
    ----------
    held_deg : float
        Difference of the holds.
    seen, expected : Estimate
        Drag over drag, as glided, and by what is known of tilt.
    tail : float
        Two-sided chance of a ratio so far from the expected.

    Examples
    --------
    >>> time = [0, 0.4, 0.8, 1.2, 1.6, 2]
    >>> level = Glide(time, [0.5, 1.35, 2.1, 2.75, 3.35, 3.9])
    >>> low = Glide(time, [0.5, 1.33, 2.03, 2.63, 3.16, 3.64], held_deg=8)
    >>> ratio = glide(Body("f", 1.72, 63), [level, low], draws=500).ratios[0]
    >>> ratio.seen.low < ratio.seen.median < ratio.seen.high
    True
    """

    held_deg: float
    seen: Estimate
    expected: Estimate
    tail: float


class GlideEstimate(Answer):
    """Drag of the gliding body, made by `glide`. ``print`` it for the words.

    Attributes
    ----------
    k_kg_m, drag_area_m2 : Estimate
        Drag over speed squared, and CdA, of the highest hold.
    held : tuple of HeldGlides
        By hold, the highest first.
    ratios : tuple of GlideRatio
        Of the lower holds to the highest.
    fits : tuple of GlideFit
    because : tuple of Contribution
        What makes k uncertain.
    in_combination : float
    notes, cautions : tuple of str
    asked : dict
        Of whom and of what, and the version.

    Examples
    --------
    >>> her = Glide([0, 0.4, 0.8, 1.2, 1.6, 2], [0.5, 1.35, 2.1, 2.75, 3.35, 3.9])
    >>> result = glide(Body("f", 1.72, 63), her, draws=500)
    >>> result.k_kg_m.low < result.k_kg_m.median < result.k_kg_m.high
    True
    """

    k_kg_m: Estimate
    drag_area_m2: Estimate
    held: Tuple[HeldGlides, ...]
    ratios: Tuple[GlideRatio, ...]
    fits: Tuple[GlideFit, ...]
    because: Tuple[Contribution, ...]
    in_combination: float
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"held": HeldGlides, "ratios": GlideRatio, "fits": GlideFit}

    def __repr__(self) -> str:
        return f"GlideEstimate(k {self.k_kg_m} kg/m from {len(self.fits)} glides)"


def glide(
    body: Who,
    glides: Union[Glide, Sequence[Glide], Path],
    *,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> GlideEstimate:
    """Times and distances of glides after a push-off to the drag of the gliding body, and to what tilt does to it.

    Parameters
    ----------
    body : Body, Swim or Swimmer
    glides : Glide, list of Glide, or path
        A path is of a CSV, one row a point, as ``dragcalc glide`` reads it.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    GlideEstimate

    Raises
    ------
    InvalidInput
        For fewer than five points, times that do not rise, glides that do not slow down.

    Examples
    --------
    >>> her = Glide([0, 0.4, 0.8, 1.2, 1.6, 2], [0.5, 1.35, 2.1, 2.75, 3.35, 3.9])
    >>> glide(Body("f", 1.72, 63), her, draws=500).fits[0].points
    6
    """
    given = {"body": body, "draws": draws, "seed": seed, "level": level, "threads": threads}
    listed: Any = [glides] if isinstance(glides, Glide) else glides
    if isinstance(listed, (list, tuple)) and all(isinstance(each, Glide) for each in listed):
        return answered(GlideEstimate, "glide", given, {"glides": [each._call() for each in listed]})
    if isinstance(listed, (str, os.PathLike)):
        return answered(GlideEstimate, "glide", {**given, "file": listed})
    raise wrong_type("glides", glides, "a Glide, a list of them, or the name of a file")


# --- loaded swims -----------------------------------------------------------------------------------


class LoadedEstimate(Answer):
    """Active drag from the same swim free and loaded, made by `loaded`. ``print`` it for the words.

    Attributes
    ----------
    load_N : float
        Against her; below 0 a tow.
    free_m_s, loaded_m_s : Estimate
    drag_N : Estimate
        At the free speed.
    k_kg_m : Estimate
        That over the square of the free speed.
    equal_power_k_kg_m, equal_thrust_k_kg_m : float
        The published forms, at the mean speeds.
    magnified : float
        Relative error of the drag for one of the free speed.
    because : tuple of Contribution
    in_combination : float
    notes, cautions : tuple of str
    asked : dict
        Replaced coefficients, what was given, and the version.

    Examples
    --------
    >>> result = loaded(free_m_s=[1.62, 1.61], loaded_m_s=[1.41, 1.40], load_N=45, draws=500)
    >>> result.drag_N.low < result.drag_N.median < result.drag_N.high
    True
    """

    load_N: float
    free_m_s: Estimate
    loaded_m_s: Estimate
    k_kg_m: Estimate
    drag_N: Estimate
    equal_power_k_kg_m: float
    equal_thrust_k_kg_m: float
    magnified: float
    because: Tuple[Contribution, ...]
    in_combination: float
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]

    def __repr__(self) -> str:
        return f"LoadedEstimate({self.drag_N} N at the free speed, load {self.load_N:.3g} N)"


def loaded(
    *,
    free_m_s: Array = None,
    loaded_m_s: Array = None,
    free_s: Array = None,
    loaded_s: Array = None,
    distance_m: Number = None,
    by: Optional[str] = None,
    load_N: Number = None,
    tow_N: Number = None,
    load_sd_N: Number = None,
    coefficients: Optional[Mapping[str, Any]] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> LoadedEstimate:
    """Speeds at full effort free and against a known force, or towed by one, to active drag.

    Parameters
    ----------
    free_m_s, loaded_m_s : number or list of them
        Speeds without the force and with it.
    free_s, loaded_s : number or list of them
        Times instead, with a distance.
    distance_m : number, optional
        That the times are for.
    by : {"stopwatch", "pads", "video"}, optional
        What stopped the clock.
    load_N, tow_N : number
        Against her, or pulling her along; one of them.
    load_sd_N : number, optional
        How well its mean over the swim is known.
    coefficients : mapping, optional
        Other values for published numbers, as in `Swim`.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    LoadedEstimate

    Raises
    ------
    InvalidInput
        For a load that does not slow, a tow that does not speed up, speeds too near each other.

    Examples
    --------
    >>> towed = loaded(free_s=[15.4, 15.5], loaded_s=[13.8, 13.9], distance_m=25, tow_N=40, draws=500)
    >>> towed.load_N
    -40.0
    """
    given = dict(locals())
    replaced = _coefficients(given.pop("coefficients"))
    return answered(LoadedEstimate, "loaded", _given(**given), {"coefficients": replaced})


# --- what her own tests say -------------------------------------------------------------------------


def _estimate(range_: Optional[Mapping[str, Any]], level: float) -> Optional[Estimate]:
    return None if range_ is None else Estimate(range_["median"], range_["low"], range_["high"], level)


class Fit(NamedTuple):
    """A measurement against what all the others make one expect of it.

    Attributes
    ----------
    kind, date : str
    n : int
    unit : str
        Of the two below.
    expected : Estimate
        With the error of the measurement.
    seen : float
    tail : float
        Two-sided chance of something so far out.
    whose : str
        Of a squad that was pooled, the other swimmer; else empty.

    Examples
    --------
    >>> Fit("drop", "2026-11-25", 5, "deg", Estimate(4.0, 2.1, 6.0, 0.95), 4.4, 0.6).tail
    0.6
    """

    kind: str
    date: str
    n: int
    unit: str
    expected: Estimate
    seen: float
    tail: float
    whose: str = ""


class Learnt(NamedTuple):
    """One thing before anything was measured and now.

    Attributes
    ----------
    what, unit : str
    before, now : Estimate
    left : float
        Width now over width before.

    Examples
    --------
    >>> Learnt("her drop", "deg", Estimate(4, 1, 7, 0.95), Estimate(4, 3, 5, 0.95), 0.33).left < 1
    True
    """

    what: str
    unit: str
    before: Estimate
    now: Estimate
    left: float


class NextMeasurement(NamedTuple):
    """What could be measured next, and what it should leave.

    Attributes
    ----------
    do : str
    minutes : int
        At the pool.
    width_s, whole_width_s : float
        Expected widths of the intervals of the hips' cost and of the whole breath's.

    Examples
    --------
    >>> NextMeasurement("film 5 more breaths from both sides", 10, 0.9, 1.4).minutes
    10
    """

    do: str
    minutes: int
    width_s: float
    whole_width_s: float


class Measured(Charted):
    """What a swimmer's own tests say about the price of her breath, made by `measured`. ``print`` it for the words.

    Attributes
    ----------
    swimmer : str
    measurements : tuple of Fit
        Each against what the others make one expect of it.
    watch : Watch or None
        None without a test of two ways to swim.
    whole_breath_s, whole_breath_before_s : Estimate
        Drag of the hips and lost propulsion over the race: now, and before anything was measured.
    hips_s, hips_before_s : Estimate
    all_is_drag_s : Estimate or None
        If all of the gap were drag: an upper bound.
    pooled : dict or None
        The ``swimmers`` she was pooled with, and by her own tests alone ``whole_breath_alone_s``, ``hips_alone_s``.
    learnt : tuple of Learnt
    not_learnt : tuple of str
    next : tuple of NextMeasurement
        What takes off most of the range a minute first.
    conflicts : tuple of str
    effective_draws : float
        How many draws of equal weight say as much.
    temperatures : int
    because : tuple of Contribution
        Of the hips' cost; what was learnt goes together, so that shares overlap.
    draws, weights : numpy.ndarray
        Of the hips' cost, seconds, and how much each counts.
    notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, the race, the record, and the version.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> _ = append_to_record(path, "Mia", "drop", date="2026-11-25", drop_deg=4, side="both")
    >>> known = measured(path, body=Body("f", 1.72, 63), event="100 free", time_s="1:02.40", draws=2000)
    >>> known.hips_s.low < known.hips_s.median < known.hips_s.high
    True
    """

    swimmer: str
    measurements: Tuple[Fit, ...]
    watch: Optional[Watch]
    whole_breath_s: Estimate
    whole_breath_before_s: Estimate
    hips_s: Estimate
    hips_before_s: Estimate
    all_is_drag_s: Optional[Estimate]
    pooled: Optional[Mapping[str, Any]]
    learnt: Tuple[Learnt, ...]
    not_learnt: Tuple[str, ...]
    next: Tuple[NextMeasurement, ...]
    conflicts: Tuple[str, ...]
    effective_draws: float
    temperatures: int
    because: Tuple[Contribution, ...]
    draws: np.ndarray[Any, Any]
    weights: np.ndarray[Any, Any]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"measurements": Fit, "learnt": Learnt, "next": NextMeasurement}

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        level = asked["level"]

        def ranges(rows: Any, *names: str) -> Any:
            return tuple({**row, **{name: _estimate(row[name], level) for name in names}} for row in rows)

        whole, hips, watch_ = fields["whole_breath_s"], fields["hips_s"], fields["watch"]
        made = {
            "measurements": ranges(fields["measurements"], "expected"),
            "learnt": ranges(fields["learnt"], "before", "now"),
            "whole_breath_s": _estimate(whole, level),
            "whole_breath_before_s": _estimate(whole["before"], level),
            "hips_s": _estimate(hips, level),
            "hips_before_s": _estimate(hips["before"], level),
            "all_is_drag_s": _estimate(hips["all_is_drag"], level),
            "watch": None if watch_ is None else Watch(watch_, asked),
        }
        super().__init__({**fields, **made}, asked)

    def to_xarray(self) -> Any:
        """Draws and weights as an xarray.Dataset with the dimensions chain and draw, if xarray is installed."""
        import xarray

        both = {"hips_s": self.draws, "weight": self.weights}
        units = {"hips_s": {"units": "s"}}
        variables = {
            name: (("chain", "draw"), column[np.newaxis, :], units.get(name, {}))
            for name, column in both.items()
        }
        return xarray.Dataset(variables, {"chain": [0], "draw": np.arange(len(self.draws))})

    def __repr__(self) -> str:
        return f"Measured({shown_text(self.swimmer, 40)!r}: whole breath {self.whole_breath_s} s, hips {self.hips_s} s)"


def measured(
    path: Path,
    name: Optional[str] = None,
    *,
    body: Optional[Who] = None,
    event: Optional[str] = None,
    time_s: Number = None,
    course: Optional[str] = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    pool: bool = False,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Measured:
    """What a swimmer's own tests say about the price of her breath, what they taught, and what to measure next.

    Parameters
    ----------
    path : str or path-like
        The record.
    name : str, optional
        The swimmer; not needed where the file has only one.
    body : Body, Swim or Swimmer, optional
    event, time_s, course, breathe
        The race that is priced, as of `cost`.
    hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m : number, optional
        A drop beside those in the record.
    pool : bool
        Let the swims of the others in the record say what all have in common, the law of tilt above all. One bad record
        reaches everybody: ``conflicts`` names it, ``pooled`` has what her own tests say by themselves.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    Measured

    Raises
    ------
    InvalidInput, UnknownKey
        For a record that says nothing of her stroke, and as `read_record`.

    Warnings
    --------
    Never trade breathing for speed on this tool's word. See ``cautions``.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> _ = append_to_record(path, "Mia", "drop", date="2026-11-25", drop_deg=4, side="both")
    >>> measured(path, event="100 free", time_s="1:02.40", draws=2000).watch is None
    True
    """
    return answered(Measured, "measured", _given(**dict(locals(), pool=flag("pool", pool) or None)))


def trials(
    path: Path,
    name: Optional[str] = None,
    *,
    distance_m: Number = None,
    by: Optional[str] = None,
    stroke: Optional[str] = None,
    body: Optional[Who] = None,
    event: Optional[str] = None,
    time_s: Number = None,
    course: Optional[str] = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Union[Watch, Measured]:
    """A file of timed swims: what the watch alone says, then with a race what it means for the breath.

    Parameters
    ----------
    path : str or path-like
        A CSV with the columns how and time (s), or times as 0:14.32.
    name : str, optional
        The swimmer, where the file has several.
    distance_m, by, stroke : optional
        What the file does not say.
    body : Body, Swim or Swimmer, optional
    event, time_s, course, breathe : optional
        The race that is priced, as of `cost`.
    hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m : number, optional
        A drop beside the swims.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    Watch, or with a race Measured

    Raises
    ------
    InvalidInput, UnknownKey
        With row and column.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "swims.csv")
    >>> rows = ("snorkel,14.31", "every-2,14.60", "every-2,14.66", "snorkel,14.42")
    >>> _ = open(path, "w").write("\\n".join(("how,time (s)", *rows)))
    >>> trials(path, distance_m=25).gaps[0].how
    'every-2'
    """
    given = _given(**locals())

    def made(fields: Dict[str, Any], asked: FrozenDict) -> Union[Watch, Measured]:
        return Measured(fields, asked) if "hips_s" in fields else Watch(fields, asked)

    return answered(made, "trials", given)


class DesignRow(NamedTuple):
    """One way to test: so many swims of each kind on each of so many days.

    Attributes
    ----------
    each, days : int
    whole_width_s, hips_width_s : float
        Expected widths of the intervals.
    gap_shown : float
        Chance that the watch alone shows a gap.
    settled, right : float
        Chance that it is settled at 90 % whether the breath costs half of what is thought now, and if so rightly.

    Examples
    --------
    >>> DesignRow(6, 1, 1.4, 1.0, 0.49, 0.54, 0.94).each
    6
    """

    each: int
    days: int
    whole_width_s: float
    hips_width_s: float
    gap_shown: float
    settled: float
    right: float


class Design(Answer):
    """How to test, and what to measure, made by `design`. ``print`` it for the words.

    Attributes
    ----------
    whole_now_s, hips_now_s : Estimate
        What is known of the whole breath's cost and of the hips'.
    rows : tuple of DesignRow
    advised : DesignRow
        The fewest swims beyond which little comes off.
    order : str
        In which to swim it.
    rest_s : float
    next : tuple of NextMeasurement
    why, notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, the race, and the version.

    Examples
    --------
    >>> plan = design(event="100 free", time_s="1:02.40", hip_drop_deg=4, swims=[2, 4], days=1, draws=1000)
    >>> [row.each for row in plan.rows], plan.rows[1].whole_width_s < plan.rows[0].whole_width_s
    ([2, 4], True)
    """

    whole_now_s: Estimate
    hips_now_s: Estimate
    rows: Tuple[DesignRow, ...]
    advised: DesignRow
    order: str
    rest_s: float
    next: Tuple[NextMeasurement, ...]
    why: Tuple[str, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"rows": DesignRow, "advised": DesignRow, "next": NextMeasurement}

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        now = {name: _estimate(fields[name], asked["level"]) for name in ("whole_now_s", "hips_now_s")}
        super().__init__({**fields, **now}, asked)

    def __repr__(self) -> str:
        return f"Design({self.advised.each} swims of each on {self.advised.days} days; hips now {self.hips_now_s} s)"


def design(
    *,
    body: Optional[Who] = None,
    event: Optional[str] = None,
    time_s: Number = None,
    course: Optional[str] = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    how: Union[str, Sequence[str], None] = None,
    distance_m: Number = None,
    by: Optional[str] = None,
    swims: Union[int, Sequence[int], None] = None,
    days: Union[int, Sequence[int], None] = None,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Design:
    """How many swims, in which order, on which days, and what else could be measured, by simulation.

    Parameters
    ----------
    body : Body, Swim or Swimmer, optional
    event, time_s, course, breathe
        The race that is priced, as of `cost`.
    hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m : number, optional
        The drop as far as it is known.
    how : str or list of str, optional
        What is set against each other; the snorkel and her pattern unless given.
    distance_m : number, optional
        Timed, without a turn; 25 m unless given.
    by : {"stopwatch", "pads", "video"}, optional
    swims, days : int or list of int, optional
        Of each, and on how many days.
    record, name : optional
        What was measured already, as of `cost`.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    Design

    Raises
    ------
    InvalidInput, UnknownKey

    Examples
    --------
    >>> plan = design(event="100 free", time_s="1:02.40", hip_drop_deg=4, swims=4, days=[1, 2], draws=1000)
    >>> plan.order
    'A snorkel, B every-2: A B B A B A A B'
    """
    return answered(Design, "design", _given(**locals()))


# --- weeks ------------------------------------------------------------------------------------------


class ProgressLevel(NamedTuple):
    """Where she stood on a day, after all of them.

    Attributes
    ----------
    date : str
    level_deg, level_percent : tuple of float or None
        Value and standard deviation, of the drop by film or of the time by the watch.

    Examples
    --------
    >>> ProgressLevel("2026-11-25", (4.1, 0.4), None).level_deg[0]
    4.1
    """

    date: str
    level_deg: Optional[Tuple[float, float]]
    level_percent: Optional[Tuple[float, float]]


class Progress(Charted):
    """Whether it is closing, made by `progress`. ``print`` it for the words.

    Attributes
    ----------
    swimmer : str
    sessions, weeks : int
    by_film : bool
        Else by the watch.
    verdict : str
        One sentence to read aloud.
    per_week_deg, change_deg : Estimate or None
        By film; below 0 the hips drop less.
    gap_per_week_percent, gap_change_percent : Estimate or None
        By the watch, of the time.
    closing : float
        Chance that there is less of it now than at first.
    change_s : Estimate or None
        Of the race, by the change; below 0 faster.
    worthwhile : float or None
        Chance that the race is faster by the smallest worthwhile time.
    smallest_worthwhile_s : float or None
    doubt : str
        What makes the change uncertain, the largest first.
    levels : tuple of ProgressLevel
    notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, the race, replaced coefficients, and the version.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> for day, drop in (("2026-11-02", 5.0), ("2026-11-16", 4.5), ("2026-11-30", 3.5)):
    ...     _ = append_to_record(path, "Mia", "drop", date=day, drop_deg=drop, side="both")
    >>> seen = progress(path, "Mia")
    >>> seen.sessions, seen.weeks, seen.change_deg.median < 0
    (3, 4, True)
    """

    swimmer: str
    sessions: int
    weeks: int
    by_film: bool
    verdict: str
    per_week_deg: Optional[Estimate]
    change_deg: Optional[Estimate]
    gap_per_week_percent: Optional[Estimate]
    gap_change_percent: Optional[Estimate]
    closing: float
    change_s: Optional[Estimate]
    worthwhile: Optional[float]
    smallest_worthwhile_s: Optional[float]
    doubt: str
    levels: Tuple[ProgressLevel, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"levels": ProgressLevel}

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        one_of_them = ("per_week_deg", "change_deg", "gap_per_week_percent", "gap_change_percent")
        no_level = {"level_deg": None, "level_percent": None}
        levels = tuple({**no_level, **each} for each in fields["levels"])
        super().__init__({**dict.fromkeys(one_of_them), **fields, "levels": levels}, asked)

    def __repr__(self) -> str:
        change, unit = (self.change_deg, "deg") if self.by_film else (self.gap_change_percent, "%")
        return f"Progress({self.sessions} sessions over {self.weeks} weeks, change {change} {unit})"


def progress(
    path: Path,
    name: Optional[str] = None,
    *,
    body: Optional[Who] = None,
    stroke: Optional[str] = None,
    event: Optional[str] = None,
    time_s: Number = None,
    course: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Progress:
    """Is it closing? What the drops of some weeks in a record say, or the gaps by the watch, and what the change is worth.

    Parameters
    ----------
    path : str or path-like
        The record.
    name : str, optional
        The swimmer; not needed where the file has only one.
    body : Body, Swim or Swimmer, optional
        For drops in centimetres, and for the price.
    stroke : str, optional
        Crawl, or the event's, unless given.
    event : str, optional
        With a time: in which the change is priced.
    time_s : number, optional
        As she swims it now.
    course : {"lcm", "scm", "scy"}, optional
        50 m unless given.
    draws, seed, level, threads
        Of the price's Monte Carlo.

    Returns
    -------
    Progress

    Raises
    ------
    InvalidInput, UnknownKey
        For fewer than two days, and as `read_record`.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "squad.csv")
    >>> for day, drop in (("2026-11-02", 5.0), ("2026-11-16", 4.5), ("2026-11-30", 3.5)):
    ...     _ = append_to_record(path, "Mia", "drop", date=day, drop_deg=drop, side="both")
    >>> priced = progress(path, body=Body("f", 1.72, 63), event="100 free", time_s="1:02.40", draws=500)
    >>> priced.change_s.median < 0 < priced.worthwhile
    True
    """
    return answered(Progress, "progress", _given(**locals()))
