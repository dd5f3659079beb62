"""The sources table, the evidence table, and tables for other packages."""

from __future__ import annotations

from html import escape
from typing import Any, Dict, Iterator, List, Mapping, NamedTuple, Optional, Tuple

import numpy as np

from . import _core
from ._errors import InvalidInput, wrong_type
from ._values import Frozen, Reported, html_of_csv


class Source(NamedTuple):
    """A published number.

    Attributes
    ----------
    key : str
    value, sd : float
        `sd` is a standard uncertainty or the spread between subjects; 0 where none is given.
    unit, validity, citation, verified, note : str
    """

    key: str
    value: float
    sd: float
    unit: str
    validity: str
    citation: str
    verified: str
    note: str


class Sources(Mapping[str, Source]):
    """Every published number by its key; a mapping that cannot be changed."""

    def __init__(self) -> None:
        object.__setattr__(self, "_rows", {row[0]: Source(*row) for row in _core.sources()})

    __setattr__ = Frozen.__setattr__
    __delattr__ = Frozen.__delattr__
    _rows: Dict[str, Source]

    def __getitem__(self, key: str) -> Source:
        if not isinstance(key, str) or key not in self._rows:
            _core.source_words(key)  # raises with the nearest keys
        return self._rows[key]

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and key in self._rows

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def to_pandas(self) -> Any:
        """A pandas.DataFrame indexed by key, if pandas is installed."""
        import pandas  # type: ignore[import]

        return pandas.DataFrame(list(self._rows.values()), columns=list(Source._fields)).set_index("key")

    def __repr__(self) -> str:
        return f"Sources({len(self)} published numbers)"

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><td>{escape(s.key)}</td><td>{s.value:.6g}{f' ± {s.sd:.3g}' if s.sd else ''} {escape(s.unit)}</td>"
            f"<td>{escape(s.validity)}</td><td>{escape(s.citation)}</td><td>{escape(s.verified)}</td></tr>"
            for s in self._rows.values()
        )
        return f"<table><tr><th>key</th><th>value</th><th>valid for</th><th>source</th><th>verified</th></tr>{rows}</table>"


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
    id, quantity, unit : str
    role : {"prediction", "calibration"}
        Calibration if a coefficient was set with it.
    measured : float
    sd, n : float or None, int or None
        Between the swimmers of the sample, and how many.
    predicted, low, high : float
    inside : bool
        Measured within the interval.
    source, verified, note : str
    """

    id: str
    role: str
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


class Evidence(Reported):
    """The evidence table, made by `evidence`. ``print`` it for the words.

    Attributes
    ----------
    rows : tuple of EvidenceRow
    coverage : float
        Share of the prediction rows whose measurement lies inside.
    half_width_median : float
        Of the prediction rows: half the interval over the prediction.
    predictions, calibrations : int
    """

    __slots__ = ("rows", "coverage", "half_width_median", "predictions", "calibrations", "_report")
    rows: Tuple[EvidenceRow, ...]
    coverage: float
    half_width_median: float
    predictions: int
    calibrations: int
    _report: Dict[str, str]

    def __init__(self, plain: Dict[str, Any]) -> None:
        self._take(plain, rows=tuple(EvidenceRow(*row) for row in plain["rows"]))

    def to_records(self) -> np.ndarray[Any, Any]:
        """A structured array; missing standard deviations are NaN, missing numbers of swimmers 0."""
        texts = ("id", "role", "quantity", "unit", "source", "verified", "note")
        types: List[Tuple[str, Any]] = []
        for name in EvidenceRow._fields:
            if name in texts:
                types.append((name, f"U{max(len(getattr(row, name)) for row in self.rows)}"))
            else:
                types.append((name, bool if name == "inside" else int if name == "n" else float))
        out = np.empty(len(self.rows), dtype=types)
        for i, row in enumerate(self.rows):
            out[i] = tuple(row._replace(sd=np.nan if row.sd is None else row.sd, n=row.n or 0))
        return out

    def to_pandas(self) -> Any:
        """A pandas.DataFrame indexed by id, if pandas is installed."""
        return to_pandas(self.to_records()).set_index("id")

    def __repr__(self) -> str:
        return (
            f"Evidence({len(self.rows)} rows, {self.predictions} predictions, "
            f"{100 * self.coverage:.0f} % of them inside)"
        )

    def _repr_html_(self) -> str:
        columns = [
            "id",
            "role",
            "quantity",
            "unit",
            "measured",
            "predicted",
            "low",
            "high",
            "inside",
            "source",
        ]
        return f"<p>{escape(repr(self))}</p>" + html_of_csv(self.to_csv(), columns)


def evidence(
    *,
    draws: int = 4000,
    seed: int = 1,
    level: float = 0.95,
    threads: int = 0,
    coefficients: Optional[Mapping[str, Any]] = None,
) -> Evidence:
    """Published measurements beside what the library predicts for them, hits and misses. Takes a second or two.

    Parameters
    ----------
    draws, seed, level, threads
        Of the Monte Carlo.
    coefficients : mapping, optional
        Other values for published numbers, as in `Swim`: what would the evidence say?

    Returns
    -------
    Evidence
    """
    if coefficients is not None and not isinstance(coefficients, Mapping):
        raise wrong_type("coefficients", coefficients, "a dictionary of keys as sources() lists them")
    options = _core.Options(draws, seed, level, threads)
    return Evidence(_core.evidence(options, None if coefficients is None else dict(coefficients)))


def to_pandas(table: np.ndarray[Any, Any]) -> Any:
    """A structured array as a pandas.DataFrame, one row for each element.

    Parameters
    ----------
    table : numpy.ndarray
        Structured, as `sweep` returns it.

    Returns
    -------
    pandas.DataFrame

    Raises
    ------
    ModuleNotFoundError
        If pandas is not installed.
    """
    import pandas

    _structured(table)
    return pandas.DataFrame.from_records(table.ravel())


def to_xarray(table: np.ndarray[Any, Any]) -> Any:
    """A structured array as an xarray.Dataset.

    A field that changes along one axis only and differs at every step of it becomes the coordinate of that
    axis, so that a grid of drops against times is labelled by them; other axes are called ``axis_0``,
    ``axis_1`` ...

    Parameters
    ----------
    table : numpy.ndarray
        Structured, as `sweep` returns it.

    Returns
    -------
    xarray.Dataset

    Raises
    ------
    ModuleNotFoundError
        If xarray is not installed.
    """
    import xarray

    _structured(table)
    assert table.dtype.names is not None
    axes: Dict[int, str] = {}
    inputs = ("event", "course", "breathe", "time_s", "hip_drop_deg", "stature_m", "mass_kg")
    for name in (n for n in inputs if n in table.dtype.names):
        for axis in range(table.ndim):
            along = np.moveaxis(table[name], axis, 0).reshape(table.shape[axis], -1)
            differ = len(np.unique(along[:, 0])) == len(along) > 1
            if axis not in axes and differ and bool((along == along[:, :1]).all()):
                axes[axis] = name
                break
    dims = [axes.get(axis, f"axis_{axis}") for axis in range(table.ndim)]
    variables = {name: (dims, table[name]) for name in table.dtype.names if name not in axes.values()}
    coordinates = {
        name: np.moveaxis(table[name], axis, 0).reshape(table.shape[axis], -1)[:, 0]
        for axis, name in axes.items()
    }
    return xarray.Dataset(variables, coordinates)


def _structured(table: Any) -> None:
    if not isinstance(table, np.ndarray) or table.dtype.names is None:
        raise InvalidInput("table", f"{type(table).__name__}", "a structured array, as sweep() returns it")
