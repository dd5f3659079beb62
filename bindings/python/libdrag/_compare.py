"""Which of several faults is worth pool time, on the same draws."""

from __future__ import annotations

from typing import Any, ClassVar, Dict, NamedTuple, Optional, Sequence, Tuple, Union, overload

from ._body import Number
from ._draws import Contribution, Estimate
from ._picture import Charted
from ._squad import DataFrame, answers_of, is_frame
from ._pool import _given
from ._swim import Aid, Path, Who, answered

__all__ = ["Comparison", "Rival", "compare"]


class Rival(NamedTuple):
    """One thing that could be different.

    Attributes
    ----------
    kind : {"hips", "head", "steady", "legs", "pattern", "worn"}
    what : str
        In words.
    fault : bool
        To be mended, and not a change of habit.
    gain_s : Estimate
        Seconds over the race; below 0 the change costs time.
    beats_next : float or None
        Share of the draws in which it brings more than the next; None for the last.

    Examples
    --------
    >>> both = compare(event="100 free", time_s="1:02.40", hip_drop_deg=4, steady_drop_deg=2, draws=500)
    >>> both.ranked[0].kind, both.ranked[-1].beats_next
    ('steady', None)
    """

    kind: str
    what: str
    fault: bool
    gain_s: Estimate
    beats_next: Optional[float]


class Comparison(Charted):
    """Several faults side by side, made by `compare`. ``print`` it for the words.

    Attributes
    ----------
    event, course, breathing : str
    time_s : float
    ranked : tuple of Rival
        The largest gain first.
    together_s : Estimate or None
        All faults mended, where there are two or more.
    first_beats_second : float
        Share of the draws.
    choose : str
        What follows for the choice, in a sentence.
    because : tuple of Contribution
        What makes the order of the first two uncertain.
    assumed, notes, cautions : tuple of str
    asked : dict
        Of whom, if that is known, the race, and the version.

    Examples
    --------
    >>> both = compare(event="100 free", time_s="1:02.40", hip_drop_deg=4, steady_drop_deg=2, draws=500)
    >>> both.ranked[0].gain_s.median < both.together_s.median
    True
    """

    event: str
    course: str
    breathing: str
    time_s: float
    ranked: Tuple[Rival, ...]
    together_s: Optional[Estimate]
    first_beats_second: float
    choose: str
    because: Tuple[Contribution, ...]
    assumed: Tuple[str, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _parts: ClassVar[Dict[str, Any]] = {"ranked": Rival}

    def __repr__(self) -> str:
        return f"Comparison({self.choose!r})"


# fmt: off
@overload
def compare(
    body: Optional[Who] = ..., *, event: Optional[str] = ..., time_s: Number = ..., course: Optional[str] = ...,
    breathe: Optional[str] = ..., hip_drop_deg: Number = ..., hip_drop_m: Number = ..., hip_drop_sd_deg: Number = ...,
    hip_drop_sd_m: Number = ..., head_lift_deg: Number = ..., head_lift_m: Number = ..., steady_drop_deg: Number = ...,
    steady_drop_m: Number = ..., leg_angle_deg: Number = ..., instead: Union[str, Sequence[str], None] = ...,
    aids: Union[Aid, Sequence[Aid], None] = ..., record: Optional[Path] = ..., name: Optional[str] = ...,
    draws: int = ..., seed: int = ..., level: float = ..., threads: int = ...,
) -> Comparison: ...
@overload
def compare(body: DataFrame, **race: Any) -> Any: ...
# fmt: on


def compare(  # type: ignore[misc]
    body: Any = None,
    *,
    event: Optional[str] = None,
    time_s: Number = None,
    course: Optional[str] = None,
    breathe: Optional[str] = None,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    steady_drop_deg: Number = None,
    steady_drop_m: Number = None,
    leg_angle_deg: Number = None,
    instead: Union[str, Sequence[str], None] = None,
    aids: Union[Aid, Sequence[Aid], None] = None,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Any:
    """What each of several faults costs, priced in the same possible swimmers, and which comes first.

    Parameters
    ----------
    body : Body, Swim, Swimmer or pandas.DataFrame, optional
        An average adult unless given, where that hardly matters. A frame has a row for each swimmer, as of `cost`.
    event, time_s, course, breathe
        The race, as of `cost`.
    hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m : number, optional
        How much lower the hips go with each breath.
    head_lift_deg, head_lift_m : number, optional
        How far the head comes up to breathe.
    steady_drop_deg, steady_drop_m : number, optional
        How much lower the hips stay all the way.
    leg_angle_deg : number, optional
        Legs carried below the trunk line, 0 to 45 degrees.
    instead : str or list of str, optional
        Other breathing patterns.
    aids : Aid or list of Aid, optional
        Worn in the race: what the same breath costs more with them.
    record, name : optional
        As of `cost`.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    Comparison or pandas.DataFrame
        The frame as of `cost`: the first two of each row, and by how much.

    Raises
    ------
    InvalidInput, UnknownKey
        As of `cost`, and for fewer than two things to compare.

    Examples
    --------
    >>> both = compare(event="100 free", time_s="1:02.40", hip_drop_deg=4, instead="every-4", draws=500)
    >>> [rival.kind for rival in both.ranked]
    ['hips', 'pattern']
    """
    given = _given(**locals())
    if is_frame(body):
        return answers_of("compare", given)
    return answered(Comparison, "compare", dict(given, aids=aids))
