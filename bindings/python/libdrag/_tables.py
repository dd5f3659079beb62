"""The sources table, the evidence table, and tables for other packages."""

from __future__ import annotations

from html import escape
from typing import Any, ClassVar, Dict, Iterator, List, Mapping, NamedTuple, Optional, Sequence, Tuple

import numpy as np

from . import _core
from ._errors import shown_text, wrong_type
from ._draws import Estimate
from ._picture import Charted
from ._swim import answered
from ._values import Frozen, Result, attributes_of, html_table, structured
from .units import SUFFIXES, unit_of

__all__ = [
    "Evidence", "evidence", "EvidenceRow", "Source", "Sources", "sources", "to_pandas", "to_xarray",
]  # fmt: skip


class Source(NamedTuple):
    """A published number.

    Attributes
    ----------
    key : str
    value, sd : float
        `sd` is a standard uncertainty or the spread between subjects; 0 where none is given.
    used, used_sd : float
        What answers take: what the evidence leaves where it weighs the row, else `value` and `sd`.
    unit, validity, citation, verified, note : str
    replaceable : tuple of float or None
        From and to which value ``Swim(coefficients=...)`` may replace it; None for what is compiled in.

    Examples
    --------
    >>> source = sources()["tilt.slope"]
    >>> source.unit, source.verified
    ('%/deg', 'derived from figures read')
    """

    key: str
    value: float
    sd: float
    used: float
    used_sd: float
    unit: str
    validity: str
    citation: str
    verified: str
    note: str
    replaceable: Optional[Tuple[float, float]]


def _source(row: Dict[str, Any]) -> Source:
    limits = row["replaceable"]
    row["replaceable"] = None if limits is None else tuple(limits.tolist())
    return Source(**row)


class Sources(Mapping[str, Source]):
    """Every published number by its key; a mapping that cannot be changed.

    Examples
    --------
    >>> table = sources()
    >>> "tilt.slope" in table, len([key for key in table if key.startswith("tilt.")]) > 5
    (True, True)
    """

    def __init__(self) -> None:
        object.__setattr__(self, "_rows", {row["key"]: _source(row) for row in _core.sources()})

    __setattr__ = Frozen.__setattr__
    __delattr__ = Frozen.__delattr__
    _rows: Dict[str, Source]

    def __hash__(self) -> int:
        return hash(tuple(self._rows))

    def __getitem__(self, key: str) -> Source:
        if not isinstance(key, str) or key not in self._rows:
            _core.check_source(key)  # raises with the nearest keys
        return self._rows[key]

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and key in self._rows

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array."""
        rows = list(self._rows.values())
        columns = {name: np.array([getattr(r, name) for r in rows]) for name in Source._fields[:-1]}
        for i, end in enumerate(("replaceable_from", "replaceable_to")):
            columns[end] = np.array([np.nan if r.replaceable is None else r.replaceable[i] for r in rows])
        return structured(columns)

    def to_pandas(self) -> Any:
        """A pandas.DataFrame indexed by key, if pandas is installed."""
        return to_pandas(self).set_index("key")

    def __repr__(self) -> str:
        return f"Sources({len(self)} published numbers)"

    def _repr_html_(self) -> str:
        head = ("key", "value", "valid for", "source", "verified", "replaceable")
        rows = (
            (
                s.key,
                f"{s.value:.6g}{f' ± {s.sd:.3g}' if s.sd else ''} {s.unit}",
                s.validity,
                s.citation,
                s.verified,
                "" if s.replaceable is None else "{:g} to {:g}".format(*s.replaceable),
            )
            for s in self._rows.values()
        )
        return html_table(head, rows)


def sources() -> Sources:
    """Every published number the library uses, with its citation and how it was verified.

    Returns
    -------
    Sources
        A mapping of keys to `Source`.

    Examples
    --------
    >>> sources()["tilt.slope"].value
    3.25
    """
    return Sources()


class EvidenceRow(NamedTuple):
    """One published measurement beside the prediction for the same conditions.

    Attributes
    ----------
    id, study, quantity, unit : str
        Rows of one data set share the study.
    kind : {"swimmer", "mannequin", "computed", "regression"}
    skill : {"trained", "untrained"}
    measured : float
    sd, n : float or None, int or None
        Between the swimmers of the sample, and how many.
    predicted, low, high : float
        From all other studies.
    inside : bool
        Measured within the interval.
    source, verified, note : str

    Examples
    --------
    >>> row = evidence().rows[0]
    >>> row.low < row.predicted < row.high
    True
    """

    id: str
    study: str
    kind: str
    skill: str
    quantity: str
    unit: str
    measured: float
    sd: Optional[float]
    n: Optional[int]
    predicted: float
    low: float
    high: float
    inside: bool
    source: str
    verified: str
    note: str


class Narrowing(NamedTuple):
    """What one more study of twenty swimmers would be worth.

    Attributes
    ----------
    measurement : str
    price, drag : float
        Share that it is expected to take off the variance of the logarithm of a hip drop's price, and of active drag.

    Examples
    --------
    >>> evidence().narrowing[0].price > evidence().narrowing[-1].price
    True
    """

    measurement: str
    price: float
    drag: float


class Evidence(Charted):
    """The evidence table, made by `evidence`. ``print`` it for the words.

    Attributes
    ----------
    rows : tuple of EvidenceRow
    studies : int
    coverage : float
        Share of the rows whose measurement lies inside.
    coverage_50, coverage_80 : float
        Inside the intervals of 50 and 80 %.
    half_width_median : float
        Half the interval over the prediction.
    half_width_known : float
        The same if every coefficient were known exactly: how far samples and studies differ.
    log_score : float
        Sum of the logarithms of the predictive densities, each on the scale its quantity is weighed on.
    tilt_model_weights : dict
    narrowing : tuple of Narrowing
        What would narrow the answers most, first for the price of a hip drop.
    asked : dict
        Replaced coefficients, level, and the version.

    Examples
    --------
    >>> table = evidence()
    >>> 0 < table.coverage < 1, len({row.study for row in table.rows}) == table.studies
    (True, True)
    """

    rows: Tuple[EvidenceRow, ...]
    studies: int
    coverage: float
    coverage_50: float
    coverage_80: float
    half_width_median: float
    half_width_known: float
    log_score: float
    tilt_model_weights: Dict[str, float]
    narrowing: Tuple[Narrowing, ...]
    _parts: ClassVar[Dict[str, Any]] = {"rows": EvidenceRow, "narrowing": Narrowing}

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array; missing standard deviations are NaN, missing numbers of swimmers 0."""
        return structured({
            name: [{"sd": np.nan, "n": 0}.get(name) if x is None else x for x in column]
            for name, column in zip(EvidenceRow._fields, zip(*self.rows))
        })  # fmt: skip

    def to_pandas(self) -> Any:
        """A pandas.DataFrame indexed by id, if pandas is installed."""
        return to_pandas(self).set_index("id")

    def __repr__(self) -> str:
        said = f"{len(self.rows)} rows of {self.studies} studies, {100 * self.coverage:.0f} % of them inside"
        if self.asked["coefficients"]:
            said += f"; {shown_text(', '.join(sorted(self.asked['coefficients'])))} replaced"
        return f"Evidence({said})"

    def _repr_html_(self) -> str:
        columns = ("id", "study", "kind", "quantity", "unit", "measured", "predicted", "low", "high", "inside",
                   "source")  # fmt: skip
        rows = ([getattr(row, name) for name in columns] for row in self.rows)
        return f"<p>{escape(repr(self))}</p>" + html_table(columns, rows)


def evidence(
    *,
    level: float = 0.95,
    coefficients: Optional[Mapping[str, Any]] = None,
) -> Evidence:
    """Published measurements beside what the library predicts for them from all other studies, hits and misses.

    Parameters
    ----------
    level : float
        Of the intervals. No random numbers are drawn.
    coefficients : mapping, optional
        Other values for published numbers, as in `Swim`: the measurements then do not move them.

    Returns
    -------
    Evidence

    Examples
    --------
    >>> sorted({row.kind for row in evidence().rows})
    ['computed', 'mannequin', 'regression', 'swimmer']
    """
    if coefficients is not None and not isinstance(coefficients, Mapping):
        raise wrong_type("coefficients", coefficients, "a dictionary of keys as sources() lists them")
    return answered(Evidence, "evidence", {"level": level}, {"coefficients": dict(coefficients or {})})


def _ending(name: str, word: str) -> str:
    """A name with a word before its unit: cost_s and low make cost_low_s."""
    unit = next((end for end, _ in SUFFIXES if name.endswith(end)), "")
    return f"{name[: len(name) - len(unit)]}_{word}{unit}"


def _cells(name: str, value: Any) -> Dict[str, Any]:
    """The columns that one attribute of a result makes; none for what is a table of its own."""
    if value is None:
        return {name: np.nan}
    if isinstance(value, (bool, np.bool_, int, float, str)):
        return {name: value}
    if isinstance(value, Estimate):
        return {name: value.median, _ending(name, "low"): value.low, _ending(name, "high"): value.high}
    if isinstance(value, tuple) and not hasattr(value, "_fields") and value:
        if all(isinstance(x, str) for x in value):
            return {name: " ".join(value)}
        if all(isinstance(x, float) for x in value) and len(value) in (2, 3):
            words = ("", "sd") if len(value) == 2 else ("x", "y", "z")
            return {_ending(name, w) if w else name: x for w, x in zip(words, value)}
    return {name: ""} if isinstance(value, tuple) and not value else {}


def _names(result: Any) -> Tuple[str, ...]:
    """The public attributes of a result; none of what is none."""
    if not isinstance(result, (tuple, Frozen)):
        return ()
    found: Any = getattr(result, "_fields", None) or attributes_of(type(result))
    return tuple(name for name in found if not name.startswith("_"))


def _identity(asked: Mapping[str, Any]) -> Dict[str, Any]:
    """Whom and by what."""
    body = asked.get("body")
    who = {} if body is None else {"sex": body.sex, "stature_m": body.stature_m, "mass_kg": body.mass_kg}
    if not asked:
        return {}
    names = ("swimmer", "stroke", "method", "tilt_model", "breathe", "given", "version")
    out = {**who, **{name: asked[name] for name in names if name in asked}}
    out["coefficients"] = ", ".join(f"{key}={value}" for key, value in asked["coefficients"].items())
    return out


def _records(result: Any) -> np.ndarray[Any, Any]:
    """Any result as a structured array: a row of its numbers and texts, one for each element or time step."""
    if isinstance(result, np.ndarray) and result.dtype.names is not None:
        return result
    if isinstance(result, Mapping) and result and not isinstance(result, Sources):
        parts = [_records(part) for part in result.values()]
        return _stacked("result", [str(key) for key in result], parts)
    if type(result) in (list, tuple) and result and all(_names(part) for part in result):
        return _stacked("", [], [_records(part) for part in result])
    if isinstance(result, (Frozen, Sources)) and hasattr(result, "to_records"):
        table: np.ndarray[Any, Any] = result.to_records()
        return table
    names = _names(result)
    if not names:
        raise wrong_type("table", result, "a result, or a structured array as sweep() returns it")
    values = {name: getattr(result, name) for name in names}
    columns: Dict[str, Any] = {}
    for name, value in values.items():
        columns.update(_cells(name, value))
    for name, value in _identity(getattr(result, "asked", {})).items():
        columns.setdefault(name, value)
    arrays = {name: x for name, x in values.items() if isinstance(x, np.ndarray) and name != "draws"}
    if not isinstance(result, Result) or "t_s" in arrays:
        columns.update(arrays)
    return structured(columns)


def _stacked(label: str, keys: Sequence[str], parts: Sequence[np.ndarray[Any, Any]]) -> np.ndarray[Any, Any]:
    """Tables of the same columns, one after the other."""
    columns: Dict[str, np.ndarray[Any, Any]] = {}
    if keys:
        columns[label] = np.repeat(keys, [part.size for part in parts])
    for name in (n for n in parts[0].dtype.names or () if all(n in (p.dtype.names or ()) for p in parts)):
        columns[name] = np.concatenate([part[name].ravel() for part in parts])
    return structured(columns)


def to_pandas(result: Any) -> Any:
    """Any result as a pandas.DataFrame, with the units of its columns, and whom it is of, in ``attrs``.

    Parameters
    ----------
    result : result of any call, or numpy.ndarray
        A structured array, as `sweep` returns it, makes one row for each element, and so do `Costs`, drags,
        the evidence and series over time. Any other result makes one row of its numbers and texts, with the
        ends of intervals, standard deviations and whom it is of in columns of their own; a tuple of results
        (``cost.legs``, ``aids.effects``) one row for each.

    Returns
    -------
    pandas.DataFrame

    Raises
    ------
    ModuleNotFoundError
        If pandas is not installed.

    Examples
    --------
    >>> import libdrag
    >>> frame = to_pandas(libdrag.passive_drag(Body("f", 1.72, 63), [1.0, 1.5]))
    >>> frame["speed_m_s"].tolist(), frame.attrs["units"]["total_N"]
    ([1.0, 1.5], 'N')
    """
    import pandas  # type: ignore[import]

    table = _records(result)
    frame = pandas.DataFrame({name: table[name].ravel() for name in table.dtype.names or ()})
    frame.attrs["units"] = _units(table)
    frame.attrs.update(_identity(getattr(result, "asked", {})))
    return frame


def _units(table: np.ndarray[Any, Any]) -> Dict[str, str]:
    named = {name: unit_of(name) for name in table.dtype.names or () if table[name].dtype.kind == "f"}
    return {name: unit for name, unit in named.items() if unit is not None}


def to_xarray(result: Any) -> Any:
    """Any result as an xarray.Dataset, each variable with its unit in ``attrs["units"]``.

    A field that changes along one axis only and differs at every step of it becomes the coordinate of that
    axis, so that a grid of drops against times is labelled by them; other axes are called ``axis_0``,
    ``axis_1`` ...

    Parameters
    ----------
    result : result of any call, or numpy.ndarray
        As of `to_pandas`; the shape of a structured array is kept.

    Returns
    -------
    xarray.Dataset

    Raises
    ------
    ModuleNotFoundError
        If xarray is not installed.

    Examples
    --------
    >>> drops = [[2], [4]]
    >>> table = sweep(Body("f", 1.72, 63), event="100 free", time_s=[60, 65], hip_drop_deg=drops, draws=100)
    >>> data = to_xarray(table)
    >>> data["cost_s"].dims, data["cost_s"].attrs["units"]
    (('hip_drop_deg', 'time_s'), 's')
    """
    import xarray

    table = _records(result)
    names = table.dtype.names or ()
    axes: Dict[int, str] = {}
    inputs = ("event", "course", "breathe", "time_s", "hip_drop_deg", "stature_m", "mass_kg", "speed_m_s",
              "incline_deg", "depth_m", "t_s", "temperature_c", "id", "key")  # fmt: skip
    for name in (n for n in inputs if n in names):
        for axis in range(table.ndim):
            along = np.moveaxis(table[name], axis, 0).reshape(table.shape[axis], -1)
            differ = along.size > 0 and len(np.unique(along[:, 0])) == len(along) > 1
            if axis not in axes and differ and bool((along == along[:, :1]).all()):
                axes[axis] = name
                break
    dims = [axes.get(axis, f"axis_{axis}") for axis in range(table.ndim)]
    units = _units(table)

    def described(name: str) -> Dict[str, str]:
        return {"units": units[name]} if name in units else {}

    variables = {name: (dims, table[name], described(name)) for name in names if name not in axes.values()}
    coordinates = {
        name: (
            [name],
            np.moveaxis(table[name], axis, 0).reshape(table.shape[axis], -1)[:, 0],
            described(name),
        )
        for axis, name in axes.items()
    }
    return xarray.Dataset(variables, coordinates, _identity(getattr(result, "asked", {})))
