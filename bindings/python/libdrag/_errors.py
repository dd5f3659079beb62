"""What libdrag raises. Each message is one line with the name, the value and what is allowed, as `dragcalc` prints it."""

from __future__ import annotations

from dataclasses import FrozenInstanceError


class InvalidInput(ValueError):
    """An input that cannot be: wrong unit, not finite, wrong shape, outside what is physically possible.

    Attributes
    ----------
    field, value, allowed : str
        The name of the input, what was given, and what would have been allowed.
    """

    def __init__(self, field: str, value: str, allowed: str) -> None:
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
    """An attempt to change a value in place: bodies, swims and results are values; make another one."""


def shown(value: object) -> str:
    """A value in a message: short, on one line; of objects that cannot be shown, their type."""
    try:
        text = repr(value)
    except Exception:  # whatever an object's own repr raises
        return f"an object of type {type(value).__name__}"
    line = "".join(c if c.isprintable() else " " for c in text)
    return line if len(line) <= 60 else line[:57] + "..."


def wrong_type(field: str, value: object, allowed: str) -> TypeError:
    """The error for a value of a type that cannot be."""
    return TypeError(f"{field}: got {shown(value)}; allowed: {allowed}")
