"""A session: which swims, how fast, on which send-off, in which order, and why."""

from __future__ import annotations

from typing import Any, ClassVar, Dict, NamedTuple, Optional, Sequence, Tuple, Union

import numpy as np

from ._body import Number
from ._draws import Estimate
from ._pool import _given
from ._swim import Aid, Path, Who, answered
from ._values import Answer, Result, structured

__all__ = [
    "Practice",
    "practice",
    "PracticeLine",
    "PracticePart",
    "PracticeRule",
    "PracticeSwim",
    "PracticeWay",
]


class PracticeWay(NamedTuple):
    """A way to swim, and its letter in the session.

    Attributes
    ----------
    letter, how, words : str

    Examples
    --------
    >>> PracticeWay("A", "snorkel", "snorkel").letter
    'A'
    """

    letter: str
    how: str
    words: str


class PracticeLine(NamedTuple):
    """One way to swim within a part.

    Attributes
    ----------
    how : str
        As a record has it.
    swims : int
    target_s : Estimate or None
        Of one swim, 80 %: her own scatter and the watch in it. None where nothing is timed.
    gap_s : Estimate or None
        How much slower than the part's first line, on average. None where a turn is timed.

    Examples
    --------
    >>> PracticeLine("every-2", 2, None, None).swims
    2
    """

    how: str
    swims: int
    target_s: Optional[Estimate]
    gap_s: Optional[Estimate]


class PracticeRule(NamedTuple):
    """A rule of the session and its reason.

    Attributes
    ----------
    rule : int
        Its number.
    text, reason : str

    Examples
    --------
    >>> PracticeRule(9, "A B B A at both ends.", "Every session adds to the record.").rule
    9
    """

    rule: int
    text: str
    reason: str


class PracticeSwim(NamedTuple):
    """One swim of the session, as swum.

    Attributes
    ----------
    swim, part : int
        Their numbers, from 1.
    what, work, how : str
        What the part is for, how hard, and the way to swim.
    distance_m, send_off_s : float
    target_s, gap_s : Estimate or None
        As of `PracticeLine`.
    strokes : Estimate or None
        To hold.
    cue : str
    film : str
        ``"toward"`` or ``"away"``, the side she breathes to; empty where it is not filmed.

    Examples
    --------
    >>> PracticeSwim(1, 1, "used to it", "easy", "snorkel", 25.0, 45.0, None, None, None, "", "").send_off_s
    45.0
    """

    swim: int
    part: int
    what: str
    work: str
    how: str
    distance_m: float
    send_off_s: float
    target_s: Optional[Estimate]
    gap_s: Optional[Estimate]
    strokes: Optional[Estimate]
    cue: str
    film: str


class PracticePart(Result):
    """A part of a session: so many swims on one send-off.

    Attributes
    ----------
    part, swims : int
        Its number, and how many swims.
    what, work : str
        What it is for, and how hard.
    distance_m, send_off_s : float
        Of each swim.
    before_s, time_s : float
        To talk before it, and in all.
    lines : tuple of PracticeLine
    order : tuple of str
        The ways to swim, as swum.
    cue : str
    strokes : Estimate or None
        To hold in each swim.
    strokes_counted : bool
        They are hers, from the record.

    Examples
    --------
    >>> session = practice(event="100 free", time_s="1:02.40", minutes=40, pool_m=25, aids=Snorkel(), draws=500)
    >>> session.parts[1].order
    ('snorkel', 'every-2', 'every-2', 'snorkel')
    """

    part: int
    what: str
    work: str
    swims: int
    distance_m: float
    send_off_s: float
    before_s: float
    time_s: float
    lines: Tuple[PracticeLine, ...]
    order: Tuple[str, ...]
    cue: str
    strokes: Optional[Estimate]
    strokes_counted: bool
    _parts: ClassVar[Dict[str, Any]] = {"lines": PracticeLine}

    def __repr__(self) -> str:
        return f"PracticePart({self.what}: {self.swims} x {self.distance_m:g} m on {self.send_off_s:g} s)"


class Practice(Answer):
    """A session, made by `practice`. ``print`` it for the words.

    Attributes
    ----------
    minutes : int
    pool_m : float
    work : str
    ways : tuple of PracticeWay
        Called A, B and perhaps C.
    parts : tuple of PracticePart
    swims : tuple of PracticeSwim
        One by one.
    distance_m, time_s, left_s : float
        Of all swims, of all parts, and what is left of the minutes.
    one_swim_s : float
        How far one timed swim of a test may be off, 80 %.
    step_up, step_back : str
        When to go on to harder work, when back.
    rules : tuple of PracticeRule
    log : tuple of str
        What adds the two tests to the record.
    notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, of what, and the version.

    Examples
    --------
    >>> session = practice(event="100 free", time_s="1:02.40", minutes=40, pool_m=25, aids=Snorkel(), draws=500)
    >>> sum(part.time_s for part in session.parts) + session.left_s
    2400.0
    """

    minutes: int
    pool_m: float
    work: str
    ways: Tuple[PracticeWay, ...]
    parts: Tuple[PracticePart, ...]
    swims: Tuple[PracticeSwim, ...]
    distance_m: float
    time_s: float
    left_s: float
    one_swim_s: float
    step_up: str
    step_back: str
    rules: Tuple[PracticeRule, ...]
    log: Tuple[str, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _page: str
    _parts: ClassVar[Dict[str, Any]] = {
        "ways": PracticeWay,
        "parts": PracticePart,
        "swims": PracticeSwim,
        "rules": PracticeRule,
    }

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        super().__init__({**fields, "_page": fields["html"]}, asked)

    def __repr__(self) -> str:
        return f"Practice({self.minutes} min, {len(self.swims)} swims, {self.distance_m:g} m, {self.work})"

    def to_html(self) -> str:
        """A page to print and to write times on, as ``dragcalc practice --html`` prints it."""
        return self._page

    def to_array(self) -> np.ndarray[Any, Any]:
        """A row a swim: its number, part, way, distance, send-off and the target with its range."""
        of_target = {
            name: [np.nan if s.target_s is None else getattr(s.target_s, end) for s in self.swims]
            for name, end in (("target_s", "median"), ("target_low_s", "low"), ("target_high_s", "high"))
        }
        names = ("swim", "part", "how", "distance_m", "send_off_s")
        return structured({**{name: [getattr(s, name) for s in self.swims] for name in names}, **of_target})


def practice(
    body: Optional[Who] = None,
    *,
    event: Optional[str] = None,
    time_s: Number = None,
    minutes: Optional[int] = None,
    pool_m: Number = None,
    work: Optional[str] = None,
    aids: Union[Aid, Sequence[Aid], None] = None,
    course: Optional[str] = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Practice:
    """A session for the fault: swims that measure while she practises.

    Two ways to swim stand in mirrored order, one with the fault and one without its cause; the first and the last four
    timed swims are a pool test. That practice like this works is not shown, and the session says so.

    Parameters
    ----------
    body : Body, Swim or Swimmer, optional
        With her age, for children.
    event, time_s, course, breathe
        The race she trains for, as of `cost`.
    minutes : int
        10 to 120, after a warm-up.
    pool_m : number, optional
        One length, ``"25yd"``; that of the course unless given.
    work : {"easy", "threshold", "race", "tired", "loaded"}, optional
        How hard it becomes; easy unless given.
    aids : Aid or list of Aid, optional
        What is at hand.
    hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m : number, optional
        The drop, if known.
    record, name : optional
        What was measured already, as of `cost`.
    draws, seed, level, threads
        As of `cost`; the seed draws the lot as well.

    Returns
    -------
    Practice

    Raises
    ------
    InvalidInput, UnknownKey
        For too few minutes, with the least; for added drag without anything that adds it.

    Warnings
    --------
    The pool's and the federation's rules and qualified supervision on deck come first. See ``cautions``.

    Examples
    --------
    >>> session = practice(event="100 free", time_s="1:02.40", minutes=40, pool_m=25, aids=Snorkel(), draws=500)
    >>> [way.words for way in session.ways[:2]]
    ['snorkel', 'every 2 arm strokes']
    >>> session.parts[1].send_off_s
    65.0
    """
    return answered(Practice, "practice", dict(_given(**locals()), aids=aids))
