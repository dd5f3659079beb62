"""Water, the swim as a value, and what may be worn."""

from __future__ import annotations

import os
from dataclasses import dataclass, fields
from typing import Any, Callable, ClassVar, Dict, List, Mapping, Optional, Sequence, Tuple, Union

import numpy as np

from . import _core
from ._body import Array, Body, Number, Posture, html_of_body, posture_of
from ._errors import InvalidInput, shown, shown_text, wrong_type
from ._values import Frozen, FrozenDict, Reported, T, flag, frozen, kept, sealed

__all__ = [
    "Aid", "Belt", "Buoy", "Composition", "DragShorts", "Drogue", "read_swimmer", "Sleeve", "Snorkel", "Swim",
    "Swimmer", "Tether", "Water", "water",
]  # fmt: skip


class Water(Frozen):
    """Density and viscosity of water, made by `water`; scalars or arrays of one shape.

    Attributes
    ----------
    kind : {"fresh", "sea"}
    temperature_c : float or numpy.ndarray
    density_kg_m3, viscosity_Pa_s, kinematic_viscosity_m2_s : float or numpy.ndarray
    within_validity : bool or numpy.ndarray
        10 to 35 degrees Celsius, where the correlations were compared with IAPWS and TEOS-10.

    Examples
    --------
    >>> sea = water(27, kind="sea")
    >>> sea.density_kg_m3 > water(27).density_kg_m3
    True
    """

    __slots__ = ("kind", "temperature_c", "density_kg_m3", "viscosity_Pa_s", "within_validity")
    kind: str
    temperature_c: Any
    density_kg_m3: Any
    viscosity_Pa_s: Any
    within_validity: Any

    def __init__(self, kind: str, temperature_c: Array) -> None:
        t, density, viscosity, valid = _core.water(kind, temperature_c)
        self._set(kind=kind, temperature_c=t, density_kg_m3=density, viscosity_Pa_s=viscosity)
        self._set(within_validity=as_bool(valid))

    @property
    def kinematic_viscosity_m2_s(self) -> Any:
        return self.viscosity_Pa_s / self.density_kg_m3

    def _plain(self) -> Tuple[Any, ...]:
        return (self.temperature_c, self.density_kg_m3, self.viscosity_Pa_s, self.within_validity)

    def __reduce__(self) -> Tuple[Any, ...]:
        return Water, (self.kind, self.temperature_c)

    def __repr__(self) -> str:
        return f"Water({self.kind!r}, {self.temperature_c!r})"


def as_bool(flags: Any) -> Any:
    """Validity of numbers: 1 or 0, and NaN of numbers that are none."""
    return flags == 1.0


def water(temperature_c: Array = 27.0, *, kind: str = "fresh") -> Water:
    """Density and viscosity of the pool or the sea.

    Parameters
    ----------
    temperature_c : number or array_like
        Degrees Celsius: 0 to 60 in fresh water, 0 to 40 in the sea.
    kind : {"fresh", "sea"}
        Sea water of 35 g/kg.

    Returns
    -------
    Water
        With attributes in the shape of `temperature_c`.

    References
    ----------
    Fresh: Tanaka et al. 2001 (density), IAPWS SR6-08 (viscosity). Sea: UNESCO 1981 (density), Sharqawy et al.
    2010 (viscosity).

    Examples
    --------
    >>> w = water(27)
    >>> f"{w.density_kg_m3:.2f} kg/m3, {1e3 * w.viscosity_Pa_s:.3f} mPa s"
    '996.52 kg/m3, 0.851 mPa s'
    """
    return Water(kind, temperature_c)


@frozen
@dataclass(frozen=True)
class Swim:
    """What is in the water: a body with a stroke, at a depth, in water of a temperature.

    Wherever a function takes a body it takes a swim as well. A value: ``dataclasses.replace(swim,
    stroke="fly")`` makes another.

    Parameters
    ----------
    body : Body
    stroke : {"crawl", "back", "breast", "fly"}
    method : {"planimetric", "push-off-pads", "perturbation", "residual-thrust", "assisted-tow"}
        How active drag was measured: the methods disagree by a factor of two.
    tilt_model : {"blend", "projected", "damped", "slope", "crossflow"}
        What a tilt does to drag. With "blend" the point value is the mean of damped and slope, and intervals
        are drawn among several.
    waves : {"share", "havelock"}
        The measured share of waves in surface drag, or the wave theory of a submerged spheroid.
    posture : Posture or str
    incline_deg : number, optional
        The swimmer's own trunk incline without the fault, 0 to 60 degrees; the stroke's default unless given.
    depth_m : number
        Of the body's axis; 0 is swimming at the surface.
    water : Water, optional
        Fresh water of 27 degrees Celsius unless given.
    k_kg_m : number, optional
        The swimmer's own measured active drag over speed squared, 5 to 150 kg/m.
    coefficients : mapping, optional
        Other values for published numbers: ``{"tilt.slope": 2.0}``, or with a standard deviation
        ``{"tilt.slope": (2.0, 0.5)}``; `sources` lists the keys.
    age_years : number, optional
        5 to 100; unknown, the body decides who is a child.
    name : str
        The swimmer's, for the heading of every answer.

    Raises
    ------
    InvalidInput, UnknownKey

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> hers = Swim(swimmer, stroke="fly", water=water(25), coefficients={"tilt.slope": (2.0, 0.5)})
    >>> hers.stroke, hers.coefficients
    ('fly', {'tilt.slope': (2.0, 0.5)})
    >>> import dataclasses
    >>> dataclasses.replace(hers, stroke="back").stroke
    'back'
    """

    body: Body
    stroke: str = "crawl"
    method: str = "planimetric"
    tilt_model: str = "blend"
    waves: str = "share"
    posture: Union[Posture, str, None] = None
    incline_deg: Number = None
    depth_m: Number = 0.0
    water: Optional[Water] = None
    k_kg_m: Number = None
    coefficients: Optional[Mapping[str, Any]] = None
    age_years: Number = None
    name: str = ""

    def __post_init__(self) -> None:
        if not isinstance(self.body, Body):
            raise wrong_type("body", self.body, "a Body")
        if self.water is not None and not isinstance(self.water, Water):
            raise wrong_type("water", self.water, "what water() makes")
        if self.water is not None and not isinstance(self.water.temperature_c, float):
            raise InvalidInput("water", shown(self.water), "water of one temperature")
        if self.water is not None and np.isnan(self.water.temperature_c):
            raise InvalidInput("temperature", "nan C", "a number")
        given = {f.name: getattr(self, f.name) for f in fields(self)}
        set_ = given.__setitem__
        set_("posture", posture_of(self.posture))
        for name, field in (("incline_deg", "incline"), ("k_kg_m", "k"), ("depth_m", "depth")):
            if given[name] is not None or name == "depth_m":
                set_(name, _core.read(given[name], field, str(_core.unit_of(name))))
        if isinstance(self.coefficients, Mapping):
            set_("coefficients", dict(self.coefficients))
        core = _core.Swim(
            given.pop("body")._handle,
            {**given, "posture": given["posture"]._plain(), "water": self.water and self.water._plain()},
        )
        if given["coefficients"] is not None:  # as the core has read them
            pairs = given["coefficients"].items()
            set_("coefficients", FrozenDict({k: _coefficient(k, x) for k, x in pairs}))
        for name, value in {**given, "age_years": core.age_years, "_core": core}.items():
            object.__setattr__(self, name, value)

    @property
    def _handle(self) -> _core.Swim:
        core: _core.Swim = self.__dict__["_core"]
        return core

    def own_incline_deg(self) -> Tuple[float, float]:
        """The incline that counts, and its standard deviation: measured, or the default of stroke and depth."""
        return self._handle.incline_deg

    def __reduce__(self) -> Tuple[Any, ...]:
        return Swim, tuple(getattr(self, f.name) for f in fields(self) if f.init)


def _coefficient(key: str, given: Any) -> Any:
    if isinstance(given, (tuple, list)):
        return tuple(_core.read(x, key, "1") for x in given)
    return _core.read(given, key, "1")


Who = Union[Body, Swim, "Swimmer"]
Path = Union[str, "os.PathLike[str]"]


def swim_core(who: Who) -> _core.Swim:
    """The compiled swim of a body, a swim or a swimmer."""
    if isinstance(who, Body):
        return who._swim
    if isinstance(who, Swim):
        return who._handle
    if isinstance(who, Swimmer):
        return who.swim._handle
    raise wrong_type("body", who, "a Body, a Swim or a Swimmer")


def body_of(who: Who) -> Body:
    swim_core(who)
    return who if isinstance(who, Body) else who.body


def swim_of(who: Who) -> Swim:
    """The swim of whoever is in the water."""
    swim_core(who)
    return who if isinstance(who, Swim) else Swim(who) if isinstance(who, Body) else who.swim


def asked_of(who: Optional[Who], coefficients: Mapping[str, Any] = {}, /, **asked: Any) -> FrozenDict:
    """Of whom, if that is known, and of what a result is: the swimmer, the swim, what else was asked, and the version.

    `coefficients` are what replaces the published where nobody is known.
    """
    own: Dict[str, Any] = {"coefficients": sealed(dict(coefficients))}
    if who is not None:
        swim = swim_of(who)
        own = {
            "swimmer": swim.name,
            **{f.name: getattr(swim, f.name) for f in fields(swim) if f.name != "name"},
        }
        own["coefficients"] = swim.coefficients or FrozenDict()
    others = {key: _as_read(key, value) for key, value in asked.items()}
    return FrozenDict({**own, **others, "version": _core.__version__})


def _as_read(name: str, value: Any) -> Any:
    """An argument as plain numbers and texts; a depth where an angle is usual as its text."""
    if name == "aids":
        listed = [value] if isinstance(value, Aid) else value or ()
        return tuple(str(aid) for aid in listed)
    if isinstance(value, Composition):
        return FrozenDict({f.name: _as_read(f.name, getattr(value, f.name)) for f in fields(value)})
    if value is None or isinstance(value, (bool, np.bool_)):
        return value
    if name == "splits_s":
        return tuple(_core.read(split, name, "s") for split in value)
    if isinstance(value, (list, tuple)):
        return tuple(_as_read(name, each) for each in value)
    unit = "m3" if name == "lungs" else _core.unit_of(name)
    if isinstance(value, np.ndarray) and not value.flags.writeable:
        return value  # of a drag, which has read it
    if unit is not None:
        try:
            return kept(value, name, unit)
        except (ValueError, TypeError):
            return str(value)
    if isinstance(value, np.ndarray):
        return sealed(value.copy())
    return value if isinstance(value, (int, float)) else str(value)


def in_short(asked: Mapping[str, Any], active: bool) -> str:
    """Whom and by what, on part of a line: the method where active drag matters, the rest if it is unusual."""
    body: Body = asked["body"]
    parts = [asked["swimmer"] or f"{body.sex} {body.stature_m:.3g} m {body.mass_kg:.3g} kg"]
    if active:
        parts += [asked["stroke"], asked["method"]]
    if asked["tilt_model"] != "blend":
        parts.append(f"tilt {asked['tilt_model']}")
    if asked["coefficients"]:
        parts.append(f"{', '.join(sorted(asked['coefficients']))} replaced")
    if asked.get("aids"):
        parts.append(f"with {', '.join(asked['aids'])}")
    return shown_text(", ".join(parts))


# --- aids -------------------------------------------------------------------------------------------


class Aid:
    """Something worn, held or towed. See `Snorkel`, `Belt`, `DragShorts`, `Drogue`, `Tether`, `Buoy`, `Sleeve`.

    Examples
    --------
    >>> [str(aid) for aid in (Snorkel(), Belt(2), Tether("20N"))]
    ['snorkel', 'belt 2.00 kg', 'tether 20.0 N']
    """

    _word: ClassVar[str]

    def _call(self) -> Dict[str, Any]:
        """As keywords: a belt's mass is ``belt_kg``, its place ``belt_at_m``."""
        mine: Any = self
        names = [f.name for f in fields(mine) if f.name != "shape"]
        own = {name: name if name == "at_m" else name[name.rindex("_") + 1 :] for name in names}
        return {f"{self._word}_{end}": getattr(self, name) for name, end in own.items()}

    def _aid(self) -> _core.Aid:
        return _core.Aid(self._call())

    def __post_init__(self) -> None:
        self._aid()

    def __str__(self) -> str:
        return self._aid().words


@frozen
@dataclass(frozen=True)
class Snorkel(Aid):
    """Tube in front of the face: no breath lifts the head. For training only; the pool's rules come first.

    Examples
    --------
    >>> str(Snorkel())
    'snorkel'
    """

    def _call(self) -> Dict[str, Any]:
        return {"snorkel": True}


@frozen
@dataclass(frozen=True)
class Belt(Aid):
    """Worn weight, flush with the body. Standing depth, a quick-release buckle and a spotter.

    Parameters
    ----------
    mass_kg : number
        0 to 20 kg.
    at_m : number, optional
        Where, from the soles; at the waist unless given.

    Examples
    --------
    >>> Belt("2kg", at_m="1m")
    Belt(mass_kg='2kg', at_m='1m')
    """

    mass_kg: Number
    at_m: Number = None
    _word = "belt"


@frozen
@dataclass(frozen=True)
class DragShorts(Aid):
    """Shorts with pockets.

    Parameters
    ----------
    drag_area_m2 : number, optional
        Their CdA on the level swimmer, 0 to 0.1 m2; an assumption unless given (see `sources`).

    Examples
    --------
    >>> DragShorts(drag_area_m2="60cm2").drag_area_m2
    '60cm2'
    >>> str(DragShorts())
    'shorts'
    """

    drag_area_m2: Number = None

    def _call(self) -> Dict[str, Any]:
        return {"shorts": True, "shorts_area_m2": self.drag_area_m2}


@frozen
@dataclass(frozen=True)
class Drogue(Aid):
    """Towed behind.

    Parameters
    ----------
    opening_m2 : number
        Frontal area, 0 to 1 m2; as text also a diameter, ``"34cm"``.
    shape : {"drogue", "bowl", "parachute"}
        Bottomless, a closed half sphere, or cloth; all open to the flow.

    Examples
    --------
    >>> str(Drogue("300cm2")), str(Drogue("20cm", shape="bowl"))
    ('drogue 300 cm2', 'bowl 314 cm2')
    """

    opening_m2: Number
    shape: str = "drogue"

    @property
    def _word(self) -> str:  # type: ignore[override]
        return self.shape

    def __post_init__(self) -> None:
        if not isinstance(self.shape, str):
            raise wrong_type("shape", self.shape, "drogue, bowl or parachute")
        if self.shape not in ("drogue", "bowl", "parachute"):
            raise InvalidInput("shape", shown(self.shape), "drogue, bowl or parachute")
        super().__post_init__()


@frozen
@dataclass(frozen=True)
class Tether(Aid):
    """A pull against the swimmer that does not depend on speed.

    Parameters
    ----------
    pull_N : number
        0 to 300 N.

    Examples
    --------
    >>> str(Tether("20N"))
    'tether 20.0 N'
    """

    pull_N: Number
    _word = "tether"


@frozen
@dataclass(frozen=True)
class Buoy(Aid):
    """Foam held between the thighs.

    Parameters
    ----------
    volume_m3 : number
        0 to 0.02 m3; ``"3L"``.
    at_m : number, optional
        Where, from the soles; between the thighs unless given.

    Examples
    --------
    >>> str(Buoy("3L"))
    'buoy 3.00 L'
    """

    volume_m3: Number
    at_m: Number = None
    _word = "buoy"


@frozen
@dataclass(frozen=True)
class Sleeve(Aid):
    """Buoyant shorts or a wetsuit-like sleeve round the thighs.

    Parameters
    ----------
    volume_m3 : number
        Of the foam, 0 to 0.02 m3; ``"2L"``.
    at_m : number, optional
        Where, from the soles; round the thighs unless given.

    Examples
    --------
    >>> str(Sleeve("2L"))
    'sleeve 2.00 L'
    """

    volume_m3: Number
    at_m: Number = None
    _word = "sleeve"


def aid_cores(aids: Union[Aid, Sequence[Aid], None]) -> list[_core.Aid]:
    return [aid._aid() for aid in _aids(aids)]


def aid_keywords(aids: Union[Aid, Sequence[Aid], None]) -> Dict[str, Any]:
    """Of a question that is asked by keywords alone."""
    return {name: value for aid in _aids(aids) for name, value in aid._call().items()}


def _aids(aids: Union[Aid, Sequence[Aid], None]) -> Sequence[Aid]:
    if aids is None:
        return ()
    listed = [aids] if isinstance(aids, Aid) else aids
    if isinstance(listed, (str, bytes)) or not isinstance(listed, Sequence):
        raise wrong_type("aids", aids, "a list of aids, as [Belt(2)]")
    for aid in listed:
        if not isinstance(aid, Aid):
            raise wrong_type("aids", aid, "Snorkel, Belt, DragShorts, Drogue, Tether, Buoy, Sleeve")
    return listed


@frozen
@dataclass(frozen=True)
class Composition:
    """What a body is made of, for how it floats.

    Parameters
    ----------
    lungs : {"mid", "full", "empty"} or number
        Or the volume of gas in m3, ``"2.5L"``.
    fat_percent : number, optional
        3 to 60; 12 for men and 20 for women unless given.
    age_years : number, optional
        For the size of the lungs, and below 18 what is said to children; the swim's, else 25, unless given.

    Examples
    --------
    >>> Composition(lungs="2.5L", fat_percent=18).fat_percent
    18
    """

    lungs: Any = "mid"
    fat_percent: Number = None
    age_years: Number = None

    def __post_init__(self) -> None:
        composition_core(self)


def composition_core(given: Optional[Composition]) -> _core.Composition:
    if given is not None and not isinstance(given, Composition):
        raise wrong_type("composition", given, "a Composition")
    return _core.Composition({} if given is None else vars(given))


def parted(given: Mapping[str, Any]) -> Tuple[Dict[str, Any], Any, Any, _core.Options]:
    """The arguments of a function: the keywords of a question, aids, composition, and how it is run."""
    call = dict(given)
    if "path" in call:
        call["file"] = call.pop("path")
    for name in ("file", "record", "out"):
        if call.get(name) is not None:
            call[name] = place_of(call[name])
    run = {"draws": 20000, "seed": 1, "level": 0.95, "threads": 0}
    options = _core.Options(**{name: call.pop(name, usual) for name, usual in run.items()})
    return call, call.pop("aids", None), call.pop("composition", None), options


def ask(question: str, given: Mapping[str, Any], values: Dict[str, Any] = {}) -> Dict[str, Any]:
    """The fields of the library's answer to the arguments of one of our functions.

    Without `body` it is of nobody known; a `path` is of a record. `values` are no keywords: coefficients, glides, film.
    """
    call, aids, composition, options = parted(given)
    whose = swim_core(call.pop("body")) if "body" in call else None
    worn = (aid_cores(aids), composition_core(composition))
    return _core.ask(question, whose, call, *worn, options, values)


def answered(
    made: Callable[[Dict[str, Any], FrozenDict], T],
    question: str,
    given: Mapping[str, Any],
    values: Dict[str, Any] = {},
) -> T:
    """The same as a result, with what was asked."""
    fields = ask(question, given, values)  # which has read them all
    named = {name: x for name, x in given.items() if x is not None or name in ("aids", "composition")}
    for name in ("body", "threads"):
        named.pop(name, None)
    if "path" in named:
        named["record"] = named.pop("path")
    return made(fields, asked_of(given.get("body"), values.get("coefficients", {}), **named))


# --- the swimmer in a file --------------------------------------------------------------------------


class Swimmer(Reported):
    """A swimmer as a file holds her: name, body, own incline, own k, and where her record is.

    Attributes
    ----------
    name : str
    body : Body
    swim : Swim
        With the name, the incline and the k of the file.
    record : str
        The file that her tests are in, or an empty text; functions read it as ``record=ada.record``.

    Wherever a function takes a body it takes a swimmer as well.

    Examples
    --------
    >>> ada = Swimmer("Ada", Body("f", 1.72, 63), incline_deg=9)
    >>> passive_drag(ada, 1.5).asked["swimmer"]
    'Ada'
    """

    __slots__ = ("name", "body", "swim", "record", "_report")
    name: str
    body: Body
    swim: Swim
    record: str
    _report: Dict[str, str]

    def __init__(
        self, name: str, body: Body, *, incline_deg: Number = None, k_kg_m: Number = None, record: Path = ""
    ) -> None:
        swim = Swim(body, incline_deg=incline_deg, k_kg_m=k_kg_m, name=name)
        place = os.fsdecode(path_of(record, "record"))
        self._set(name=name, body=body, swim=swim, record=place, _report=body._handle.report(name))

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array of the body's dimensions."""
        return self.body.to_records()

    def save(self, path: Path, *, overwrite: bool = False) -> None:
        """Writes the JSON file that ``dragcalc --swimmer`` reads, beside the target and then renamed."""
        place = path_of(path)
        own = (self.swim.incline_deg, self.swim.k_kg_m)
        record = os.fsencode(self.record)
        _core.write_swimmer(self.name, self.body._handle, *own, record, place, flag("overwrite", overwrite))

    def _repr_html_(self) -> str:
        return html_of_body(self.body, self._report["words"])

    def __reduce__(self) -> Tuple[Any, ...]:
        return _swimmer, (self.name, self.body, self.swim.incline_deg, self.swim.k_kg_m, self.record)

    def __repr__(self) -> str:
        return f"Swimmer({self.name!r}, {self.body!r})"


def path_of(given: Any, name: str = "path") -> bytes:
    """A file's name, not the text of just anything."""
    if not isinstance(given, (str, os.PathLike)):
        raise wrong_type(name, given, "the name of a file")
    try:
        return os.fsencode(given)
    except UnicodeEncodeError:
        raise InvalidInput(name, shown(given), "the name of a file") from None


def place_of(given: Optional[Path]) -> Optional[str]:
    """A file's name as text, which the core takes apart again as the system has it."""
    return None if given is None else os.fsdecode(path_of(given))


def _swimmer(name: str, body: Body, incline_deg: Number, k_kg_m: Number, record: str) -> Swimmer:
    return Swimmer(name, body, incline_deg=incline_deg, k_kg_m=k_kg_m, record=record)


def read_swimmer(path: Path) -> Swimmer:
    """Reads a swimmer file, JSON with units in its strings, as ``dragcalc body --save`` and `Swimmer.save` write it.

    Parameters
    ----------
    path : str or path-like
        At most 1 MB.

    Returns
    -------
    Swimmer

    Raises
    ------
    InvalidInput
        For a file that is missing, broken or absurd; the message names line and key.

    Examples
    --------
    >>> import os, tempfile
    >>> path = os.path.join(tempfile.mkdtemp(), "ada.json")
    >>> Swimmer("Ada", Body("f", 1.72, 63), k_kg_m=28).save(path)
    >>> read_swimmer(path)
    Swimmer('Ada', Body(sex='f', stature_m=1.72, mass_kg=63))
    """
    name, sex, stature, mass, measured, incline, k, record = _core.read_swimmer(path_of(path))
    body = Body(sex, stature, mass, measured)
    return Swimmer(name, body, incline_deg=incline, k_kg_m=k, record=os.fsdecode(record))
