"""What makes a result unsure, and a slider for pictures.

What a result shows the library draws: ``cost(...).picture()``, and a body ``draw(...)``. What a student draws with
matplotlib moves by the same slider.

>>> import libdrag
>>> swimmer = libdrag.Body(sex="f", stature_m="172cm", mass_kg=63)
>>> libdrag.plot.doubts(libdrag.cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=200))
Picture('What makes the cost unsure')
"""

from __future__ import annotations

import inspect
import sys
from typing import Any, Callable, Dict, List, Tuple

from . import _core
from ._cost import Cost
from ._drag import Drag
from ._draws import Propagated
from ._errors import InvalidInput, shown, wrong_type
from ._motion import AidEffect
from ._picture import Picture

__all__ = ["doubts", "slider"]


def doubts(result: Any, *, which: str = "passive") -> Picture:
    """What makes a range wide: the share of each uncertain input, largest first.

    Parameters
    ----------
    result : Cost, Drag, Propagated or AidEffect
    which : {"passive", "active"}
        Of a `Drag`: whose range.

    Returns
    -------
    Picture
        Per cent of the variance as bars. Inputs below 1 %, and those after the fifth, make one bar; the last
        bar is what inputs explain only together.

    Raises
    ------
    TypeError
        For a result without doubts.
    InvalidInput
        For another word as `which`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> plot.doubts(cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=200))
    Picture('What makes the cost unsure')
    """
    if which not in ("passive", "active"):
        raise InvalidInput("which", shown(which), "passive or active")
    kinds = {
        Drag: (f"because_{which}", f"{which} drag"),
        Cost: ("because", "the cost"),
        Propagated: ("because", "the result"),
        AidEffect: ("because", "the ratio of the breath's price"),
    }
    for kind, (name, words) in kinds.items():
        if isinstance(result, kind):
            return Picture(_core.doubts_picture(list(getattr(result, name)), words))
    raise wrong_type("result", result, "a cost, a drag, or another result with doubts")


Range = Tuple[float, float, float]


def slider(draw: Callable[..., Any], *, figsize: Tuple[float, float] = (7.5, 3.4), **ranges: Range) -> None:
    """A picture with a slider for each of its numbers, or three still ones where no slider can be shown.

    Parameters
    ----------
    draw : callable
        ``draw(**numbers)`` gives what a notebook shows: a picture of the library. One that takes ``ax`` draws on
        matplotlib's axes instead: ``draw(ax, **numbers)``.
    figsize : tuple of float
        Of matplotlib's figure under the sliders, inches.
    **ranges : tuple of float
        Lowest, highest and first value of each number, by its name in `draw`. Still pictures stand for the
        first value and both ends of the first range.

    Raises
    ------
    InvalidInput
        Without a range, or for one that is not lowest, highest, first value.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> def low(hip_drop_deg):
    ...     return draw(swimmer, hip_drop_deg=hip_drop_deg, view="side")
    >>> plot.slider(low, hip_drop_deg=(0, 10, 4))  # doctest: +SKIP
    """
    if not ranges:
        raise InvalidInput("ranges", "none", "name=(lowest, highest, first value)")
    for name, limits in ranges.items():
        if len(limits) != 3 or not limits[0] <= limits[2] <= limits[1]:
            raise InvalidInput(name, shown(limits), "(lowest, highest, first value)")
    on_axes = "ax" in inspect.signature(draw).parameters
    widgets = _live_widgets()
    if widgets is None:
        start = {name: limits[2] for name, limits in ranges.items()}
        first, (low, high, middle) = next(iter(ranges.items()))
        stills = [{**start, first: value} for value in (low, middle, high)]
        if on_axes:
            _on_axes(draw, stills, (figsize[0], 2.6 * figsize[1]))
        else:
            from IPython.display import display  # type: ignore[import]

            for numbers in stills:
                display(draw(**numbers))
        return

    def picture(**numbers: float) -> Any:
        return _on_axes(draw, [numbers], figsize) if on_axes else draw(**numbers)

    def one(limits: Range) -> Any:
        low, high, at = limits
        return widgets.FloatSlider(
            value=at, min=low, max=high, step=(high - low) / 40, continuous_update=False
        )

    widgets.interact(picture, **{name: one(limits) for name, limits in ranges.items()})


def _on_axes(draw: Callable[..., Any], each: List[Dict[str, float]], figsize: Tuple[float, float]) -> None:
    """One figure, one below the other: side by side each would be too narrow for its print."""
    from matplotlib import pyplot  # type: ignore[import]

    _, axes = pyplot.subplots(len(each), 1, figsize=figsize, sharex=True, layout="constrained", squeeze=False)
    for ax, numbers in zip(axes.ravel(), each):
        draw(ax, **numbers)
        ax.label_outer()
    pyplot.show()


def _live_widgets() -> Any:
    """The package ipywidgets, where its sliders can be moved; else None.

    Before version 7 they break a run that nobody watches, so they need somebody at the notebook.
    """
    shell = getattr(sys.modules.get("IPython"), "get_ipython", lambda: None)()  # None outside a notebook
    kernel = getattr(shell, "kernel", None)
    if kernel is None:
        return None
    try:
        import ipywidgets  # type: ignore[import]
    except ImportError:
        return None
    watched = bool(getattr(kernel, "_allow_stdin", False))
    return ipywidgets if ipywidgets.version_info[0] >= 7 or watched else None
