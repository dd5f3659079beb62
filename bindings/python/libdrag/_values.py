"""Shared by all result classes: values that do not change, reports in words, JSON and CSV, and tables."""

from __future__ import annotations

from html import escape
from typing import Any, ClassVar, Dict, Iterable, List, Mapping, Optional, Sequence, Tuple, TypeVar

import numpy as np

from . import _core
from ._errors import FrozenError, wrong_type

T = TypeVar("T")


def flag(name: str, value: object) -> bool:
    """True or False, and nothing that merely counts as one."""
    if not isinstance(value, (bool, np.bool_)):
        raise wrong_type(name, value, "True or False")
    return bool(value)


def has(value: Any, attribute: str) -> bool:
    """hasattr, also for objects whose attributes raise what they like."""
    try:
        return hasattr(value, attribute)
    except Exception:
        return False


def three_digits(x: float) -> str:
    """A number to three digits, without a power of ten or a minus on nothing."""
    return np.format_float_positional(x + 0.0, precision=3, fractional=False, trim="-")


def kept(value: Any, field: str, unit: str) -> Any:
    """The numbers of an argument, converted and a result's own, whatever becomes of the argument."""
    if type(value) is float:
        return value
    numbers = _core.read_array(value, field, unit)
    return sealed(np.array(numbers)) if isinstance(numbers, np.ndarray) else numbers


def sealed(value: Any) -> Any:
    """The same with every list a tuple, and arrays and dictionaries that stay as they are."""
    if isinstance(value, np.ndarray):
        value.flags.writeable = False
    elif type(value) is dict:
        return FrozenDict({key: sealed(item) for key, item in value.items()})
    elif type(value) in (list, tuple):
        return tuple(map(sealed, value))
    return value


def same(one: Any, other: Any) -> bool:
    """Equal in kind and in every number, NaN to NaN."""
    if isinstance(one, np.ndarray):
        if not isinstance(other, np.ndarray) or one.dtype != other.dtype:
            return False
        if one.dtype.names:
            return one.shape == other.shape and all(same(one[n], other[n]) for n in one.dtype.names)
        return np.array_equal(one, other, equal_nan=one.dtype.kind == "f")
    if isinstance(one, dict):
        return (
            isinstance(other, dict)
            and one.keys() == other.keys()
            and all(same(one[k], other[k]) for k in one)
        )
    if isinstance(one, tuple):
        return type(one) is type(other) and len(one) == len(other) and all(map(same, one, other))
    return bool(one == other) or (one != one and other != other)


class FrozenDict(Dict[str, Any]):
    """A dictionary that stays as it is."""

    def _refuse(self, *_: Any, **__: Any) -> Any:
        raise FrozenError("dictionary: got a change; allowed: none, a value does not change")

    __setitem__ = __delitem__ = __ior__ = _refuse  # type: ignore[assignment]
    clear = pop = popitem = setdefault = update = _refuse  # type: ignore[assignment]

    def __hash__(self) -> int:  # type: ignore[override]
        return hash(frozenset(self.items()))

    def __reduce__(self) -> Tuple[Any, ...]:
        return FrozenDict, (dict(self),)


class Frozen:
    """A value: its attributes are set once, by itself, and what it was made of says which it is."""

    __slots__ = ()

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and same(self.__reduce__(), other.__reduce__())

    def __hash__(self) -> int:
        return hash(repr(self))

    def __setattr__(self, name: str, value: object) -> None:
        raise FrozenError(
            f"{type(self).__name__}.{name}: got a new value; allowed: none, a value does not change"
        )

    def __delattr__(self, name: str) -> None:
        raise FrozenError(
            f"{type(self).__name__}.{name}: got deleted; allowed: nothing, a value does not change"
        )

    def _set(self, **attributes: Any) -> None:
        for name, value in attributes.items():
            object.__setattr__(self, name, sealed(value))


def frozen(cls: type[T]) -> type[T]:
    """Closes a class that `dataclasses.dataclass(frozen=True)` made: the message is ours."""
    cls.__setattr__ = Frozen.__setattr__  # type: ignore[assignment]
    cls.__delattr__ = Frozen.__delattr__  # type: ignore[assignment]
    return cls


def structured(columns: Mapping[str, Any], shape: Optional[Tuple[int, ...]] = None) -> np.ndarray[Any, Any]:
    """A table of columns, in their broadcast shape unless given."""
    arrays = {name: np.asarray(column) for name, column in columns.items()}
    if shape is None:
        shape = np.broadcast_shapes(*(array.shape for array in arrays.values()))
    out = np.empty(shape, dtype=[(name, array.dtype) for name, array in arrays.items()])
    for name, array in arrays.items():
        out[name] = array
    return out


class _Slotted(type):
    """The annotated attributes of a class are its slots."""

    def __new__(mcs, name: str, bases: Tuple[type, ...], space: Dict[str, Any]) -> _Slotted:
        annotated = space.get("__annotations__", {}).items()
        space.setdefault("__slots__", tuple(n for n, kind in annotated if not kind.startswith("ClassVar")))
        return super().__new__(mcs, name, bases, space)


class Result(Frozen, metaclass=_Slotted):
    """A value made of the fields of a result, as the library describes it."""

    _parts: ClassVar[Dict[str, Any]] = {}  # attributes that are fields of their own, and the class for them

    def __init__(self, fields: Dict[str, Any]) -> None:
        self._set(
            **{name: part_of(self._parts.get(name), fields[name]) for name in attributes_of(type(self))}
        )

    def __reduce__(self) -> Tuple[Any, ...]:
        return restored, (type(self), {name: getattr(self, name) for name in attributes_of(type(self))})


def restored(cls: Any, attributes: Dict[str, Any]) -> Any:
    """A result from its attributes, for unpickling."""
    out = cls.__new__(cls)
    out._set(**attributes)
    return out


def attributes_of(cls: type) -> Tuple[str, ...]:
    """All slots, those of the bases last."""
    return tuple(name for base in cls.__mro__ for name in getattr(base, "__slots__", ()))


def part_of(cls: Any, value: Any) -> Any:
    """A field's value, or what a class makes of the fields in it, of each of several."""
    if cls is None or value is None:
        return value
    if isinstance(value, tuple):
        return tuple(part_of(cls, each) for each in value)
    if issubclass(cls, Result):
        return cls(value)
    return cls(**{name: sealed(value[name]) for name in cls._fields})


class Ranged(Result):
    """A result whose own median and interval are its point."""

    _range: ClassVar[str]  # the attribute that is it

    @property
    def median(self) -> float:
        return float(getattr(self, self._range).median)

    @property
    def low(self) -> float:
        return float(getattr(self, self._range).low)

    @property
    def high(self) -> float:
        return float(getattr(self, self._range).high)

    @property
    def level(self) -> float:
        return float(getattr(self, self._range).level)


class Reported(Result):
    """A result that the library can put in words, JSON and CSV: the same text as `dragcalc` prints."""

    __slots__ = ()
    _report: Dict[str, str]

    def __str__(self) -> str:
        return self._report["words"]

    def to_json(self) -> str:
        """The result as JSON text with full precision, as ``dragcalc --json`` prints it."""
        return self._report["json"]

    def to_csv(self) -> str:
        """The result as CSV text, as ``dragcalc --csv`` prints it."""
        return self._report["csv"]

    def _repr_html_(self) -> str:
        return html_of_words(self._report["words"])


class Answer(Reported):
    """A result of a question."""

    asked: Dict[str, Any]
    _report: Dict[str, str]

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        report = {form: fields[form] for form in ("words", "json", "csv")}
        super().__init__({**fields, "asked": asked, "_report": report})


def html_of_words(words: str) -> str:
    """A table of labels and sentences for a notebook; the words are the library's."""
    rows = []
    heading = ""
    for label, text in _labelled(words):
        if label is None:
            heading += f"<p>{escape(text)}</p>"
            continue
        weight = "600" if label in ("Cost", "Passive", "Active") else "400"
        rows.append(
            f'<tr><th style="text-align:left;vertical-align:top;font-weight:400;opacity:.7">{escape(label)}</th>'
            f'<td style="text-align:left;font-weight:{weight}">{text}</td></tr>'
        )
    return f"{heading}<table>{''.join(rows)}</table>"


def _labelled(words: str) -> List[Tuple[Optional[str], str]]:
    """(label, html) with the lines under one label joined; None as label for headings."""
    out: List[Tuple[Optional[str], str]] = []
    for line in words.splitlines():
        if not line.strip():
            continue
        if not line.startswith("  "):
            out.append((None, line.strip()))
            continue
        label, text = line[:15].strip(), escape(line[15:].strip())
        if label or not out or out[-1][0] is None:
            out.append((label, text))
        else:
            ranked = text[:1].isdigit() and text[1:3] == ". "
            new_line = ranked or text.startswith("several of them")
            out[-1] = (out[-1][0], out[-1][1] + ("<br>" if new_line else " ") + text)
    return out


def html_table(head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A table; numbers to three digits."""

    def line(cells: Sequence[Any], tag: str) -> str:
        return "<tr>" + "".join(f"<{tag}>{escape(_short(cell))}</{tag}>" for cell in cells) + "</tr>"

    return f"<table>{line(head, 'th')}{''.join(line(row, 'td') for row in rows)}</table>"


def _short(cell: Any) -> str:
    return three_digits(float(cell)) if isinstance(cell, (float, np.floating)) else str(cell)
