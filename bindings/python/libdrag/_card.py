"""What is shown to a swimmer: her body as drawn, and her card."""

from __future__ import annotations

from typing import Any, ClassVar, Dict, NamedTuple, Optional, Sequence, Tuple, Union, overload

from . import _core
from ._body import Number, Posture, posture_of
from ._cost import Cost
from ._draws import Estimate
from ._errors import InvalidInput, shown
from ._picture import VIEWS, Picture
from ._pool import Day, _date, _given
from ._squad import DataFrame, answers_of, is_frame
from ._swim import Aid, Composition, Path, Who, answered, path_of, swim_core
from ._values import Answer, flag

__all__ = ["Card", "card", "CardRace", "draw"]


def draw(
    body: Union[Who, Cost],
    *,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    posture: Union[Posture, str, None] = None,
    view: str = "both",
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Picture:
    """The body in the water, to scale: level, and with the hips lower or the head higher.

    Shoulders and arms stay where they are while the hips go down. The area from the front never stands without the
    drag that it means.

    Parameters
    ----------
    body : Body, Swim, Swimmer or Cost
        Of a cost its own fault at the lowest, with the extra drag over the race.
    hip_drop_deg, hip_drop_m : number, optional
        How much lower the hips are, 0 to 45 degrees; with the swim's own incline up to 60.
    head_lift_deg, head_lift_m : number, optional
        How much higher the head is.
    posture : Posture or str, optional
        How she is held; the swim's own joints, or her stroke at its breath, unless given.
    view : {"both", "side", "front"}
    draws, seed, level, threads
        Of the Monte Carlo of the extra drag.

    Returns
    -------
    Picture

    Raises
    ------
    InvalidInput, UnknownKey
        For what is outside these ranges; for a drop beside a cost, which has its own.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> draw(swimmer, hip_drop_deg=4, view="side")
    Picture('A swimmer from the side: hips 4.0 deg lower')
    >>> draw(cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500))
    Picture('A swimmer: level, and hips 4.0 deg lower')
    """
    fault = _given(
        hip_drop_deg=hip_drop_deg, hip_drop_m=hip_drop_m, head_lift_deg=head_lift_deg, head_lift_m=head_lift_m
    )
    options = _core.Options(draws, seed, level, threads)
    if not isinstance(body, Cost):
        held = None if posture is None else posture_of(posture)._plain()
        return Picture(_core.drawing(swim_core(body), {**fault, "view": view}, held, options))
    for name, value in {**fault, **_given(posture=posture)}.items():
        raise InvalidInput(name, shown(value), "nothing beside a cost, which has its own")
    if view not in VIEWS:
        raise InvalidInput("view", shown(view), "side, front or both")
    return Picture(body._bodies[view].text())


class CardRace(NamedTuple):
    """A race on a card.

    Attributes
    ----------
    event, course : str
    time_s : float
    time_guessed : bool
        From another race.
    hip_drop_deg : float
    cost_s : Estimate

    Examples
    --------
    >>> hers = card(Body("f", 1.72, 63), event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> hers.races[0].event, hers.races[0].time_guessed
    ('100 m freestyle', False)
    """

    event: str
    course: str
    time_s: float
    time_guessed: bool
    hip_drop_deg: float
    cost_s: Estimate


class Card(Answer):
    """One page about a swimmer, made by `card`. ``print`` it for the words.

    Attributes
    ----------
    date : str
    for_athlete, for_coach : str
        A sentence each.
    races : tuple of CardRace
    level_area_m2, low_area_m2 : float
        From the front, as drawn.
    extra_drag : Estimate
        At the lowest, as a fraction.
    sources, notes, cautions : tuple of str
    html : str
        The page, all of it in one text.
    svg : str
        The picture alone.
    asked : dict
        Of whom, if that is known, of what, and the version.

    Examples
    --------
    >>> hers = card(Body("f", 1.72, 63), event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> hers.for_athlete.startswith("Hips up when you breathe")
    True
    >>> hers.save("card.html")  # doctest: +SKIP
    """

    date: str
    for_athlete: str
    for_coach: str
    races: Tuple[CardRace, ...]
    level_area_m2: float
    low_area_m2: float
    extra_drag: Estimate
    sources: Tuple[str, ...]
    notes: Tuple[str, ...]
    cautions: Tuple[str, ...]
    _page: Any
    _body: Any
    _parts: ClassVar[Dict[str, Any]] = {"races": CardRace}

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        own = {"races": fields["events"], "_page": fields["page"], "_body": fields["body"]}
        super().__init__({**fields, **fields["picture"], **own}, asked)

    @property
    def html(self) -> str:
        """The page, all of it in one text."""
        return str(self._page.text())

    @property
    def svg(self) -> str:
        """The picture alone."""
        return str(self._body.text())

    def picture(self) -> Picture:
        """Her body level and with the fault, as it stands on the card."""
        return Picture(self.svg)

    def save(self, path: Path, *, overwrite: bool = False) -> None:
        """Writes the page, or the picture alone where the name ends in .svg, as ``dragcalc card --out`` does."""
        _core.write_card(self._page, self._body, path_of(path), flag("overwrite", overwrite))

    def __repr__(self) -> str:
        return f"Card({self.date}: {self.for_athlete!r})"


# fmt: off
@overload
def card(
    body: Optional[Who] = ..., *, event: Union[str, Sequence[str], None] = ...,
    time_s: Union[Number, Sequence[Number]] = ..., course: Optional[str] = ..., all_events: bool = ...,
    hip_drop_deg: Number = ..., hip_drop_m: Number = ..., hip_drop_sd_deg: Number = ..., hip_drop_sd_m: Number = ...,
    head_lift_deg: Number = ..., head_lift_m: Number = ..., when: Optional[str] = ..., breathe: Optional[str] = ...,
    given: Optional[str] = ..., splits_s: Optional[Sequence[Number]] = ..., start_underwater_m: Number = ...,
    turn_underwater_m: Number = ..., aids: Union[Aid, Sequence[Aid], None] = ...,
    composition: Optional[Composition] = ..., record: Optional[Path] = ..., name: Optional[str] = ...,
    date: Optional[Day] = ..., draws: int = ..., seed: int = ..., level: float = ..., threads: int = ...,
) -> Card: ...
@overload
def card(body: DataFrame, *, out: Path, **race: Any) -> Any: ...
# fmt: on


def card(  # type: ignore[misc]
    body: Any = None,
    *,
    event: Union[str, Sequence[str], None] = None,
    time_s: Union[Number, Sequence[Number]] = None,
    course: Optional[str] = None,
    all_events: bool = False,
    hip_drop_deg: Number = None,
    hip_drop_m: Number = None,
    hip_drop_sd_deg: Number = None,
    hip_drop_sd_m: Number = None,
    head_lift_deg: Number = None,
    head_lift_m: Number = None,
    when: Optional[str] = None,
    breathe: Optional[str] = None,
    given: Optional[str] = None,
    splits_s: Optional[Sequence[Number]] = None,
    start_underwater_m: Number = None,
    turn_underwater_m: Number = None,
    aids: Union[Aid, Sequence[Aid], None] = None,
    composition: Optional[Composition] = None,
    record: Optional[Path] = None,
    name: Optional[str] = None,
    date: Optional[Day] = None,
    out: Optional[Path] = None,
    overwrite: bool = False,
    draws: int = 20000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
) -> Any:
    """One page about a swimmer to print or to show: her body level and low, the seconds, what to do.

    Parameters
    ----------
    body : Body, Swim, Swimmer or pandas.DataFrame, optional
        An average adult unless given, where that hardly matters. A frame has a row for each swimmer, as of `cost`.
    event, time_s : str and number, or a list of each
        The races; the first is drawn and spoken of.
    course, hip_drop_deg, hip_drop_m, hip_drop_sd_deg, hip_drop_sd_m, head_lift_deg, head_lift_m
        As of `cost`.
    when, breathe, given, splits_s, start_underwater_m, turn_underwater_m, aids, composition
        As of `cost`.
    all_events : bool
        The event's stroke over all its distances, the other times guessed.
    record, name : optional
        As of `cost`; what her tests say, and whether the fault is closing, stands on the card.
    date : str or datetime.date, optional
        Of the card; today unless given.
    out : str or path-like, optional
        Of a frame: the folder for a page each and a page with links to them.
    overwrite : bool
        Of a frame: whether pages that exist are replaced.
    draws, seed, level, threads
        As of `cost`.

    Returns
    -------
    Card or pandas.DataFrame
        The frame as of `cost`, with the file of each page.

    Raises
    ------
    InvalidInput, UnknownKey
        As of `cost`.

    Warnings
    --------
    The pool's and the federation's rules and qualified supervision on deck come first. See ``cautions``.

    Examples
    --------
    >>> hers = card(Body("f", 1.72, 63), event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> hers.html.startswith("<!DOCTYPE html>"), hers.svg.startswith("<svg")
    (True, True)
    """
    given_here = locals()
    names = ("event", "time_s", "course", "hip_drop_deg", "hip_drop_m", "hip_drop_sd_deg", "hip_drop_sd_m",
             "head_lift_deg", "head_lift_m", "when", "breathe", "given", "splits_s", "start_underwater_m",
             "turn_underwater_m", "name")  # fmt: skip
    call = _given(**{key: given_here[key] for key in names}, date=_date(date))
    flags = {"all_events": flag("all_events", all_events), "force": flag("overwrite", overwrite)}
    worn = {"aids": aids, "composition": composition}
    run = {"draws": draws, "seed": seed, "level": level, "threads": threads}
    if is_frame(body):
        return answers_of(
            "card", {**call, **flags, **worn, **run, "body": body, "record": record, "out": out}
        )
    for key, value in _given(out=out, overwrite=overwrite or None).items():
        raise InvalidInput(key, shown(value), "nothing without a data frame: save() writes one card")
    call.update(_given(body=body, record=record, all_events=flags["all_events"] or None))
    return answered(Card, "card", {**call, **worn, **run})
