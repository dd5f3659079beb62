"""Results as pint quantities.

Every parameter of libdrag takes pint quantities, and checks them; results are plain numbers whose unit is the
end of their name. `with_units` turns that end into a quantity.
"""

from __future__ import annotations

from functools import wraps
from typing import Any, Optional

__all__ = ["with_units"]

# Ends of names, longest first where one is the end of another.
SUFFIXES = (
    ("_N_m_per_deg", "N * m / degree"),
    ("_kg_m3", "kg / m ** 3"),
    ("_m2_s", "m ** 2 / s"),
    ("_Pa_s", "Pa * s"),
    ("_kg_m", "kg / m"),
    ("_N_m", "N * m"),
    ("_m_s", "m / s"),
    ("_m2", "m ** 2"),
    ("_m3", "m ** 3"),
    ("_deg", "degree"),
    ("_kg", "kg"),
    ("_c", "degC"),
    ("_N", "N"),
    ("_W", "W"),
    ("_J", "J"),
    ("_m", "m"),
    ("_s", "s"),
)


def unit_of(name: str) -> Optional[str]:
    """The unit that a name ends in, as pint reads it."""
    return next((unit for end, unit in SUFFIXES if name.endswith(end)), None)


class WithUnits:
    """The same attributes and methods, with quantities where the name ends in a unit. Made by `with_units`."""

    def __init__(self, wrapped: Any, registry: Any) -> None:
        self._wrapped = wrapped
        self._registry = registry

    def __getattr__(self, name: str) -> Any:
        if name.startswith("__") or name in ("_wrapped", "_registry"):
            raise AttributeError(name)
        value = getattr(self._wrapped, name)
        unit = unit_of(name)
        if unit is None or value is None or isinstance(value, str):
            return value
        if callable(value):
            bare = unit

            @wraps(value)
            def call(*args: Any, **kwargs: Any) -> Any:
                return self._quantity(value(*args, **kwargs), bare)

            return call
        return self._quantity(value, unit)

    def _quantity(self, value: Any, unit: str) -> Any:
        if hasattr(value, "_fields"):  # an estimate: all but the coverage level
            numbers = [
                x if field == "level" else self._registry.Quantity(x, unit)
                for field, x in zip(value._fields, value)
            ]
            return type(value)(*numbers)
        if isinstance(value, tuple):
            return tuple(self._registry.Quantity(x, unit) for x in value)
        return self._registry.Quantity(value, unit)

    def __reduce__(self) -> Any:
        return with_units, (self._wrapped,)

    def __dir__(self) -> list[str]:
        return dir(self._wrapped)

    def __repr__(self) -> str:
        return f"WithUnits({self._wrapped!r})"


def with_units(result: Any, registry: Any = None) -> WithUnits:
    """A body, a result or the package itself with pint quantities for everything that carries a unit in its name.

    Parameters
    ----------
    result : object
    registry : pint.UnitRegistry, optional
        pint's application registry unless given.

    Returns
    -------
    WithUnits

    Raises
    ------
    ModuleNotFoundError
        If pint is not installed.

    Examples
    --------
    >>> import libdrag
    >>> body = with_units(libdrag.Body(sex="m", stature_m=1.80, mass_kg=75))
    >>> f"{body.volume_m3.to('liter'):.0f}"
    '75 liter'
    """
    if registry is None:
        import pint

        registry = pint.get_application_registry()  # type: ignore[no-untyped-call]
    return WithUnits(result, registry)
