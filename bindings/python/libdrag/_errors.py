"""What libdrag raises. Each message is one line with the name, the value and what is allowed, as `dragcalc` prints it."""

from __future__ import annotations

import re
from dataclasses import FrozenInstanceError

__all__ = ["FrozenError", "InvalidInput", "UnknownKey"]


_OPTION = re.compile(r"--([a-z][a-z-]*)( always)?")


def _in_python(option: re.Match[str]) -> str:
    """An option of the command line, of which a sentence speaks, as a keyword."""
    name, value = option.groups()
    keyword = "overwrite=True" if name == "force" else name.replace("-", "_")
    return keyword if value is None else f'{keyword}="{value.strip()}"'


class InvalidInput(ValueError):
    """An input that cannot be: wrong unit, not finite, wrong shape, outside what is physically possible.

    Attributes
    ----------
    field, value, allowed : str
        The name of the input, what was given, and what would have been allowed.

    Examples
    --------
    >>> Body("f", "50cm", 63)
    Traceback (most recent call last):
        ...
    libdrag.InvalidInput: stature: got 0.5 m; allowed: 1 m to 2.4 m
    """

    def __init__(self, field: str, value: str, allowed: str) -> None:
        allowed = _OPTION.sub(_in_python, allowed)
        super().__init__(f"{field}: got {value}; allowed: {allowed}")
        self.field = field
        self.value = value
        self.allowed = allowed

    def __reduce__(self) -> tuple[type[InvalidInput], tuple[str, str, str]]:
        return type(self), (self.field, self.value, self.allowed)


class UnknownKey(KeyError):
    """A name that no table has: a source, a dimension, an event, a stroke. The message gives the nearest ones.

    Attributes
    ----------
    kind, key : str
        What kind of name it should have been, and what was given.

    Examples
    --------
    >>> sources()["tilt.slop"]
    Traceback (most recent call last):
        ...
    libdrag.UnknownKey: unknown source 'tilt.slop'; did you mean tilt.slope, film.slip?
    """

    def __init__(self, kind: str, key: str, message: str) -> None:
        super().__init__(message)
        self.kind = kind
        self.key = key
        self.message = message

    def __str__(self) -> str:  # KeyError would show quotes and escapes
        return self.message

    def __reduce__(self) -> tuple[type[UnknownKey], tuple[str, str, str]]:
        return type(self), (self.kind, self.key, self.message)


class FrozenError(FrozenInstanceError, TypeError):
    """An attempt to change a value in place: bodies, swims and results are values; make another one.

    Examples
    --------
    >>> Snorkel().colour = "red"
    Traceback (most recent call last):
        ...
    libdrag.FrozenError: Snorkel.colour: got a new value; allowed: none, a value does not change
    """


def shown(value: object) -> str:
    """A value in a message: short, on one line; of objects that cannot be shown, their type."""
    try:
        text = repr(value)
    except Exception:  # whatever an object's own repr raises
        return f"an object of type {type(value).__name__}"
    return shown_text(text, 60)


def shown_text(text: str, most: int = 100) -> str:
    """A text kept to one short line."""
    line = "".join(c if c.isprintable() else " " for c in text[:most])
    return line if len(text) <= most else line[: most - 3] + "..."


def wrong_type(field: str, value: object, allowed: str) -> TypeError:
    """The error for a value of a type that cannot be."""
    return TypeError(f"{field}: got {shown(value)}; allowed: {allowed}")
