"""The swimmer's body: dimensions, posture, areas of all kinds."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Dict, List, Mapping, Optional, Protocol, Tuple, Union

import numpy as np

from . import _core
from ._errors import InvalidInput, shown, wrong_type
from ._values import Frozen, FrozenDict, Reported, frozen, html_of_words, kept

__all__ = ["Area", "Body", "DragCoefficient", "PosedBody", "Posture"]


class Quantity(Protocol):
    """A value with its unit, as pint makes them."""

    @property
    def magnitude(self) -> Any:
        ...

    @property
    def units(self) -> Any:
        ...


Scalar = Union[float, str, Quantity]
Many = Union[List[Any], Tuple[Any, ...], range, "np.ndarray[Any, Any]"]
Number = Any  # a float in the parameter's unit, text with its unit, or a pint quantity
Array = Any  # the same, or an array of them


@frozen
@dataclass(frozen=True)
class Posture:
    """Angles of the body. With all at zero it is level and straight with the toes pointed.

    Parameters
    ----------
    arms : {"streamlined", "arms-at-sides", "mid-stroke"}
        Stretched overhead, back along the trunk, or one reaching and one pulling as in crawl.
    head_lift_deg : number
        Head raised from the trunk line, -45 to 90 degrees.
    leg_angle_deg : number
        Legs below the trunk line, from the crotch; -45 to 120 degrees.
    knee_bend_deg : number
        Heels towards the buttocks; 0 to 120 degrees.
    leg_spread_deg : number
        Each leg outwards; 0 to 60 degrees.
    arm_angle_deg : number
        Arms below the trunk line, from the shoulder; -45 to 120 degrees.
    arm_spread_deg : number
        Each arm outwards; 0 to 90 degrees.
    roll_deg : number
        About the trunk's axis, left side up positive; -180 to 180 degrees.

    Notes
    -----
    The trunk's incline is not part of a posture: it is given where it matters, as ``incline_deg``.

    Examples
    --------
    >>> Posture(arms="mid-stroke", head_lift_deg="20deg").head_lift_deg
    20.0
    """

    arms: str = "streamlined"
    head_lift_deg: Number = 0.0
    leg_angle_deg: Number = 0.0
    knee_bend_deg: Number = 0.0
    leg_spread_deg: Number = 0.0
    arm_angle_deg: Number = 0.0
    arm_spread_deg: Number = 0.0
    roll_deg: Number = 0.0

    def __post_init__(self) -> None:
        if not isinstance(self.arms, str):
            raise wrong_type("posture", self.arms, "streamlined, arms-at-sides or mid-stroke")
        for field in fields(self)[1:]:
            name = field.name[: -len("_deg")].replace("_", "-").replace("head-lift", "head lift")
            object.__setattr__(self, field.name, _core.read(getattr(self, field.name), name, "deg"))

    def _plain(self, incline_deg: Number = 0.0) -> Tuple[Any, ...]:
        arms, *angles = (getattr(self, field.name) for field in fields(self))
        return (arms, incline_deg, *angles)


def posture_of(given: Union[Posture, str, None]) -> Posture:
    if given is None:
        return Posture()
    if isinstance(given, Posture):
        return given
    if isinstance(given, str):
        return Posture(arms=given)
    raise wrong_type("posture", given, "a Posture, or the name of one as streamlined")


_POSES = 64  # of one body that are kept


class Body(Reported):
    """All dimensions of one swimmer, from sex, stature and mass alone up to a full tape-measure sheet.

    What is not measured is estimated by regression on stature and mass (ANSUR II, 2012; adults), with the
    scatter of that regression as its uncertainty. A value: `replace` makes another body.

    Parameters
    ----------
    sex : {"f", "m", "average"}
        Which regression; "average" where it is not given.
    stature_m : number
        1 to 2.4 m. Text and pint quantities work everywhere: ``"172cm"``, ``"5ft8in"``.
    mass_kg : number
        20 to 250 kg.
    measured : mapping of str to number, optional
        Measured dimensions in metres by name: ``{"chest_girth": 0.90}``; `dimensions` lists the names.
    measured_sd_m : number
        Standard deviation of one tape reading; 5 mm is common practice.

    Attributes
    ----------
    sex : str
    stature_m, mass_kg, shoulder_hip_m : float
    length_m : float
        Fingertips to toes, arms overhead.
    volume_m3 : float
        Displaced wholly under water with half-full lungs, as in `balance`.
    wetted_area_m2 : float
        Skin of the wholly submerged body, arms overhead.
    planform_area_m2 : float
        Silhouette from above, arms overhead.
    dimensions : dict of str to dict
        ``value_m``, ``sd_m`` and ``measured`` of each dimension.
    flags : tuple of str
        What to be careful about; empty if nothing.

    Raises
    ------
    InvalidInput
        For what no body can be.
    UnknownKey
        For a dimension that is not in the list.

    Examples
    --------
    >>> body = Body(sex="f", stature_m="172cm", mass_kg=63)
    >>> f"{body.projected_area_m2():.4f} m2 level, {body.projected_area_m2(incline_deg=10):.4f} m2 at 10 degrees"
    '0.0697 m2 level, 0.1169 m2 at 10 degrees'
    """

    __slots__ = (
        "sex", "stature_m", "mass_kg", "measured", "measured_sd_m", "_handle", "_swim", "_figures", "_posed",
        "_text",
    )  # fmt: skip
    sex: str
    stature_m: float
    mass_kg: float
    measured: Dict[str, float]
    measured_sd_m: float
    _handle: _core.Body
    _swim: _core.Swim
    _figures: Dict[str, Any]
    _posed: Dict[Tuple[Posture, float], PosedBody]
    _text: Dict[str, str]

    def __init__(
        self,
        sex: str = "average",
        stature_m: Number = None,
        mass_kg: Number = None,
        measured: Optional[Mapping[str, Number]] = None,
        measured_sd_m: Number = 0.005,
    ) -> None:
        if measured is not None and not isinstance(measured, Mapping):
            raise wrong_type("measured", measured, "a dictionary of dimensions and lengths")
        known = None if measured is None else dict(measured)
        core = _core.Body(sex, stature_m, mass_kg, known, measured_sd_m)
        figures = core.figures()
        own = {name: row["value_m"] for name, row in core.dimensions().items() if row["measured"]}
        self._set(**{name: figures.pop(name) for name in ("sex", "stature_m", "mass_kg")})
        self._set(measured=FrozenDict(own), measured_sd_m=_core.read(measured_sd_m, "measured_sd", "m"))
        self._set(_handle=core, _swim=_core.Swim(core, {}), _figures=figures)
        object.__setattr__(self, "_posed", {})
        object.__setattr__(self, "_text", {})

    @property
    def dimensions(self) -> Dict[str, Dict[str, Any]]:
        return self._handle.dimensions()

    @property
    def flags(self) -> Tuple[str, ...]:
        return tuple(self._figures["flags"])

    @property
    def shoulder_hip_m(self) -> float:
        return float(self._figures["shoulder_hip_m"])

    @property
    def length_m(self) -> float:
        return self.posed().length_m

    @property
    def volume_m3(self) -> float:
        return self.posed().volume_m3

    @property
    def wetted_area_m2(self) -> float:
        return self.posed().wetted_area_m2

    @property
    def planform_area_m2(self) -> float:
        return self.posed().planform_area_m2

    def posed(self, posture: Union[Posture, str, None] = None, incline_deg: Number = 0.0) -> PosedBody:
        """The body in a posture: areas, volume, centre of volume and the solid itself."""
        chosen = posture_of(posture)
        key = (chosen, _core.read(incline_deg, "incline", "deg"))
        found = self._posed.get(key)
        if found is None:
            if len(self._posed) >= _POSES:
                self._posed.clear()
            found = self._posed[key] = PosedBody(self, chosen, incline_deg)
        return found

    def projected_area_m2(self, incline_deg: Array = 0.0, posture: Union[Posture, str, None] = None) -> Any:
        """Silhouette along the direction of travel (model eq. 2).

        Parameters
        ----------
        incline_deg : number or array_like
            Trunk incline, hips low positive; -10 to 60 degrees.
        posture : Posture or str, optional
            Streamlined unless given.

        Returns
        -------
        float or numpy.ndarray
            m2, in the shape of `incline_deg`. Relative error 1e-4 typically; about 70 us for each angle.
        """
        return _core.projected_area(self._handle, posture_of(posture)._plain(), incline_deg)

    def areas(self, incline_deg: Array = 0.0, posture: Union[Posture, str, None] = None) -> Dict[str, Area]:
        """Every kind of area that drag coefficients are published on, each knowing its kind.

        The trunk cross-sections are formulas from the literature, kept for comparison: Clarys 1979 (stature
        and mass) and Morais et al. 2011 (chest girth and depth).
        """
        posed = self.posed(posture)
        return {
            "projected": Area(self.projected_area_m2(incline_deg, posture), "projected"),
            "planform": Area(posed.planform_area_m2, "planform"),
            "wetted": Area(posed.wetted_area_m2, "wetted"),
            "volume^(2/3)": Area(posed.volume_m3 ** (2 / 3), "volume^(2/3)"),
            "trunk cross-section (Clarys)": Area(self._figures["clarys_m2"], "trunk cross-section"),
            "trunk cross-section (Morais)": Area(self._figures["morais_m2"], "trunk cross-section"),
        }

    def replace(
        self,
        *,
        sex: Optional[str] = None,
        stature_m: Number = None,
        mass_kg: Number = None,
        measured_sd_m: Number = None,
        **dimensions_m: Number,
    ) -> Body:
        """Another body: other sex, stature or mass, or a dimension taken as measured.

        ``body.replace(chest_girth_m=0.95)`` keeps all else that was given.
        """
        measured: Dict[str, Any] = dict(self.measured)
        for name, value in dimensions_m.items():
            if not name.endswith("_m"):
                raise InvalidInput(name, shown(value), f"a name that carries its unit, as {name}_m")
            measured[name[:-2]] = value
        return type(self)(
            self.sex if sex is None else sex,
            self.stature_m if stature_m is None else stature_m,
            self.mass_kg if mass_kg is None else mass_kg,
            measured,
            self.measured_sd_m if measured_sd_m is None else measured_sd_m,
        )

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array of the dimensions: ``name``, ``value_m``, ``sd_m``, ``measured``."""
        rows = [(name, *row.values()) for name, row in self.dimensions.items()]
        longest = max(len(row[0]) for row in rows)
        types: Any = [("name", f"U{longest}"), ("value_m", float), ("sd_m", float), ("measured", bool)]
        return np.array(rows, dtype=types)

    @property
    def _report(self) -> Dict[str, str]:  # type: ignore[override]
        if not self._text:
            self._text.update(self._handle.report(""))
        return self._text

    def __reduce__(self) -> Tuple[Any, ...]:
        return type(self), (self.sex, self.stature_m, self.mass_kg, dict(self.measured), self.measured_sd_m)

    def __eq__(self, other: object) -> bool:  # one of a subclass too
        return isinstance(other, Body) and self.__reduce__()[1] == other.__reduce__()[1]

    __hash__ = Reported.__hash__

    def __repr__(self) -> str:
        more = f", measured={dict(self.measured)}" if self.measured else ""
        return f"{type(self).__name__}(sex={self.sex!r}, stature_m={self.stature_m:.10g}, mass_kg={self.mass_kg:.10g}{more})"

    def _repr_html_(self) -> str:
        return html_of_body(self, self._report["words"])


def html_of_body(body: Body, words: str) -> str:
    """The words without their list of dimensions, which follows folded."""
    head, _, _ = words.partition("\n\n  dimension ")
    meanings = {name: meaning for name, meaning, _ in _core.dimension_list()}
    rows = "".join(
        f"<tr><td>{name}</td><td>{100 * row['value_m']:.1f} cm</td><td>± {100 * row['sd_m']:.1f}</td>"
        f"<td>{'measured' if row['measured'] else 'estimated'}</td><td>{meanings[name]}</td></tr>"
        for name, row in body.dimensions.items()
    )
    cautions = "".join(f"<p>{sentence}</p>" for sentence in body.flags)
    return (
        html_of_words(head)
        + cautions
        + (f"<details><summary>all dimensions</summary><table>{rows}</table></details>")
    )


class PosedBody(Frozen):
    """A body in a posture.

    Attributes
    ----------
    body : Body
    posture : Posture
    incline_deg : float
        Of the trunk.
    length_m : float
        Along the trunk's axis.
    volume_m3 : float
        Displaced wholly under water with half-full lungs, as in `balance`.
    wetted_area_m2, planform_area_m2, projected_area_m2 : float
    centre_of_volume_m : tuple of float
        x forward, y to the left, z up, from the trunk's axis at the hip points.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> posed = swimmer.posed("arms-at-sides", incline_deg=10)
    >>> posed.length_m < swimmer.length_m
    True
    >>> solid, parts = posed.frusta()
    >>> sorted(set(parts))
    ['head', 'left_arm', 'left_leg', 'right_arm', 'right_leg', 'trunk']
    """

    __slots__ = (
        "body", "posture", "incline_deg", "length_m", "volume_m3", "wetted_area_m2", "planform_area_m2",
        "centre_of_volume_m", "_handle",
    )  # fmt: skip
    body: Body
    posture: Posture
    incline_deg: float
    length_m: float
    volume_m3: float
    wetted_area_m2: float
    planform_area_m2: float
    centre_of_volume_m: Tuple[float, float, float]
    _handle: _core.PosedBody

    def __init__(self, body: Body, posture: Posture, incline_deg: Number) -> None:
        incline = _core.read(incline_deg, "incline", "deg")
        core = _core.PosedBody(body._handle, posture._plain(incline))
        self._set(body=body, posture=posture, incline_deg=incline, _handle=core, **core.figures())

    @property
    def projected_area_m2(self) -> float:
        return float(_core.projected_area(self.body._handle, self.posture._plain(), self.incline_deg))

    def frusta(self) -> Tuple[np.ndarray[Any, Any], list[str]]:
        """The solid: an array of shape ``(n, 2, 3, 3)`` and the part that each of the n frusta belongs to.

        Axes: frustum; rear and front section; centre and two conjugate half-axes; x, y, z in metres. The rim
        of a section is ``centre + cos(t) lateral + sin(t) sagittal``.
        """
        return self._handle.frusta()

    def __reduce__(self) -> Tuple[Any, ...]:
        return PosedBody, (self.body, self.posture, self.incline_deg)

    def __repr__(self) -> str:
        return f"PosedBody({self.body!r}, {self.posture!r}, incline_deg={self.incline_deg:.4g})"


KINDS = ("trunk cross-section", "projected", "cycle-mean projected", "effective", "planform", "wetted",
         "volume^(2/3)")  # fmt: skip


def _kind(kind: str) -> str:
    if not isinstance(kind, str):
        raise wrong_type("kind of area", kind, ", ".join(KINDS))
    if kind not in KINDS:
        raise InvalidInput("kind of area", shown(kind), ", ".join(KINDS))
    return kind


class Area(Frozen):
    """An area that knows its kind: a drag coefficient multiplies only an area of its own kind (model eq. 3).

    Parameters
    ----------
    m2 : number or array_like
    kind : str
        trunk cross-section, projected, cycle-mean projected, effective, planform, wetted or volume^(2/3).

    Examples
    --------
    >>> DragCoefficient(0.46, "projected") * Area(0.074, "projected")  # CdA, m2
    0.03404
    >>> DragCoefficient(0.22, "trunk cross-section") * Area(0.074, "projected")
    Traceback (most recent call last):
        ...
    libdrag.InvalidInput: kind of area: got a drag coefficient on trunk cross-section times an area of kind projected; \
allowed: both of one kind
    """

    __slots__ = ("m2", "kind")
    m2: Any
    kind: str

    def __init__(self, m2: Array, kind: str) -> None:
        self._set(m2=kept(m2, "area", "m2"), kind=_kind(kind))

    def __mul__(self, other: object) -> Any:
        if isinstance(other, DragCoefficient):
            return other * self
        return NotImplemented

    def __repr__(self) -> str:
        return f"Area({self.m2!r}, {self.kind!r})"

    def __reduce__(self) -> Tuple[Any, ...]:
        return Area, (self.m2, self.kind)


class DragCoefficient(Frozen):
    """A drag coefficient, with the kind of area it was published on.

    Parameters
    ----------
    value : number or array_like
    kind : str
        As of `Area`.

    Examples
    --------
    >>> DragCoefficient(0.46, "projected") * Area([0.05, 0.10], "projected")
    array([0.023, 0.046])
    """

    __slots__ = ("value", "kind")
    value: Any
    kind: str

    def __init__(self, value: Array, kind: str) -> None:
        self._set(value=kept(value, "drag coefficient", "1"), kind=_kind(kind))

    def __mul__(self, other: object) -> Any:
        if not isinstance(other, Area):
            return NotImplemented
        if other.kind != self.kind:
            both = f"a drag coefficient on {self.kind} times an area of kind {other.kind}"
            raise InvalidInput("kind of area", both, "both of one kind")
        return self.value * other.m2

    def __repr__(self) -> str:
        return f"DragCoefficient({self.value!r}, {self.kind!r})"

    def __reduce__(self) -> Tuple[Any, ...]:
        return DragCoefficient, (self.value, self.kind)
