"""Pictures of results: what the library draws, whichever face asks."""

from __future__ import annotations

from html import unescape
from typing import Any, Dict, Tuple

from . import _core
from ._errors import wrong_type
from ._swim import Path, path_of
from ._values import Answer, Frozen, flag

__all__ = ["Picture"]

VIEWS = ("side", "front", "both")  # of a body


class Picture(Frozen):
    """A picture that the library drew: an SVG, as ``dragcalc --plot`` writes it. A notebook shows it.

    Attributes
    ----------
    svg : str
        The text of the file; also what ``str`` gives.
    title, description : str
        What it is of, and what it shows, in sentences with its numbers.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> result = cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    >>> picture = result.picture()
    >>> picture
    Picture('What low hips cost over 100 m freestyle, 1:02.40')
    >>> picture.save("cost.svg")  # doctest: +SKIP
    """

    __slots__ = ("svg",)
    svg: str

    def __init__(self, svg: str) -> None:
        if not isinstance(svg, str):
            raise wrong_type("svg", svg, "the text of an SVG")
        self._set(svg=svg)

    @property
    def title(self) -> str:
        """What it is of."""
        return self._told("title")

    @property
    def description(self) -> str:
        """What it shows, in sentences with its numbers."""
        return self._told("desc")

    def _told(self, tag: str) -> str:
        return unescape(self.svg.partition(f"<{tag}>")[2].partition(f"</{tag}>")[0])

    def save(self, path: Path, *, overwrite: bool = False) -> None:
        """Writes the file, whose name ends in .svg, beside the target and then renamed."""
        _core.write_picture(self.svg, path_of(path), flag("overwrite", overwrite))

    def __str__(self) -> str:
        return self.svg

    def __repr__(self) -> str:
        return f"Picture({self.title!r})"

    def __reduce__(self) -> Tuple[Any, ...]:
        return Picture, (self.svg,)

    def _repr_html_(self) -> str:  # a sheet is as wide as a phone; wider than two of them it is too large
        return f'<div style="max-width:640px">{self.svg}</div>'

    def _repr_svg_(self) -> str:
        return self.svg


class Charted(Answer):
    """A result of a question that has a chart."""

    _chart: Any

    def __init__(self, fields: Dict[str, Any], asked: Dict[str, Any]) -> None:
        super().__init__({**fields, "_chart": fields["chart"]}, asked)

    def picture(self) -> Picture:
        """The chart of the result, as ``dragcalc --plot`` writes it; drawn when first asked for."""
        return Picture(self._chart.text())
