"""Pictures of bodies and results with matplotlib.

Every function draws on the axes it is given and returns them, or makes a figure of its own that a notebook
shows. All numbers come from the library's own calls; nothing is computed here but outlines and percentages.
Colours are those of Okabe & Ito (2008), which the colour-blind tell apart, and every line has a style of its
own as well.

>>> import matplotlib.figure
>>> import libdrag
>>> swimmer = libdrag.Body(sex="f", stature_m="172cm", mass_kg=63)
>>> axes = matplotlib.figure.Figure().add_subplot()
>>> libdrag.plot.cost_against_angle(swimmer, event="100 free", time_s="1:02.40", ax=axes) is axes
True
"""

from __future__ import annotations

import re
import sys
import textwrap
from dataclasses import replace
from typing import Any, Callable, Dict, List, Optional, Sequence, Tuple, Union

import numpy as np
from matplotlib.axes import Axes  # type: ignore[import]
from matplotlib.cbook import normalize_kwargs  # type: ignore[import]
from matplotlib.colors import to_rgba  # type: ignore[import]
from matplotlib.font_manager import FontProperties  # type: ignore[import]
from matplotlib.patches import PathPatch, Rectangle  # type: ignore[import]
from matplotlib.path import Path  # type: ignore[import]

from . import _core
from ._body import Array, Number, PosedBody, Posture, posture_of
from ._cost import _DEFAULTS, Cost, _seconds, _spread, cost
from ._drag import TILT_MODELS, Drag, passive_drag, tilt_ratio
from ._draws import Contribution, Propagated, interval
from ._errors import InvalidInput, shown, wrong_type
from ._motion import AidEffect, Motion, stroke
from ._swim import Swim, Who, swim_of
from ._tables import Evidence, EvidenceRow, sources
from ._tables import evidence as _evidence

__all__ = [
    "area_against_incline",
    "cost_against_angle",
    "doubts",
    "drag_against_speed",
    "evidence",
    "level_and_low",
    "silhouette_front",
    "silhouette_side",
    "slider",
    "stroke_cycle",
]

# Okabe & Ito 2008, Color Universal Design.
_BLACK, _WHITE = "#000000", "#FFFFFF"
_ORANGE = "#E69F00"
_SKY = "#56B4E9"
_GREEN = "#009E73"
_BLUE = "#0072B2"
_VERMILLION = "#D55E00"
_PURPLE = "#CC79A7"
_GREY = "#8C8C8C"

_FULL_WIDTH_PT = 260.0  # of axes that carry print in full size
_LETTER = 0.52  # width of a letter over the size of the print, on average
_DIRECTIONS = 120  # of support points round an outline: the outline is inside by less than 0.1 % of its area
_DRAWS, _LEVEL = 20000, 0.95  # of the intervals drawn against speed
_SPEEDS_WITH_INTERVAL = 25  # each takes some 10 ms


# --- figures and axes -------------------------------------------------------------------------------


def _one(ax: Optional[Axes], size: Tuple[float, float]) -> Axes:
    """The axes given, or those of a new figure that a notebook shows."""
    if ax is None:
        from matplotlib import pyplot  # type: ignore[import]

        return pyplot.subplots(figsize=size, layout="constrained")[1]
    if not isinstance(ax, Axes):
        raise wrong_type("ax", ax, "matplotlib axes")
    return _fitted(ax)


def _fitted(ax: Axes) -> Axes:
    """The same axes with labels in the size of print that suits their width."""
    for label in (ax.xaxis.label, ax.yaxis.label):
        label.set_fontsize(_points(ax, "medium"))
    ax.tick_params(labelsize=_points(ax, "medium"))
    return ax


def _points(ax: Axes, size: Any) -> float:
    """A size of print in points: less in narrow axes, down to what can be read."""
    share = min(1.0, max(0.6, _width_pt(ax) / _FULL_WIDTH_PT))
    return float(share * FontProperties(size=size).get_size_in_points())


def _width_pt(ax: Axes) -> float:
    return float(ax.get_window_extent().width * 72.0 / ax.figure.dpi)


def _ink(ax: Axes) -> str:
    """Black, or white on a dark background."""
    for colour in (ax.get_facecolor(), ax.figure.get_facecolor()):
        red, green, blue, opacity = to_rgba(colour)
        if opacity > 0.5:
            return _BLACK if 0.299 * red + 0.587 * green + 0.114 * blue > 0.5 else _WHITE
    return _BLACK


def _several(
    axes: Any, shape: Tuple[int, int], allowed: str, **figure: Any
) -> Tuple[Any, np.ndarray[Any, Any]]:
    """What to return, and the axes as an array of a shape."""
    if axes is None:
        from matplotlib import pyplot

        made = pyplot.subplots(*shape, squeeze=False, **figure)[1]
        return made.squeeze(), made
    listed = np.asarray(axes, dtype=object)
    for ax in listed.ravel():
        if not isinstance(ax, Axes):
            raise wrong_type("axes", ax, f"{allowed}")
    if listed.size != shape[0] * shape[1]:
        raise InvalidInput("axes", f"{listed.size} of them", allowed)
    for ax in listed.ravel():
        _fitted(ax)
    return axes, listed.reshape(shape)


def _note(ax: Axes, text: str, *, grows: bool, **style: Any) -> None:
    """Print under the label of the horizontal axis, wrapped to the width of the axes.

    A figure of our own grows by the height of the print, so that it takes nothing from the picture.
    """
    size_pt = style["fontsize"] = _points(ax, style.get("fontsize", "small"))
    letters = max(30, int(_width_pt(ax) / (_LETTER * size_pt)))
    lines = [line for sentence in text.split("\n") for line in textwrap.wrap(sentence, letters)]
    if grows:
        ax.figure.set_figheight(ax.figure.get_figheight() + (1.25 * size_pt * len(lines) + 8.0) / 72.0)
    under = {
        "xycoords": (ax.transAxes, ax.xaxis.label),
        "textcoords": "offset points",
        "annotation_clip": False,
    }
    ax.annotate("\n".join(lines), (0.0, 0.0), (0.0, -5.0), ha="left", va="top", **under, **style)


def _title(ax: Axes, *sentences: str) -> None:
    """A title that is no wider than the axes."""
    size_pt = _points(ax, "large")
    letters = max(15, int(_width_pt(ax) / (_LETTER * size_pt)))
    lines = [line for sentence in sentences for line in textwrap.wrap(sentence, letters)]
    ax.set_title("\n".join(lines), fontsize=size_pt)


def _legend(ax: Axes, x: np.ndarray[Any, Any], highest: np.ndarray[Any, Any], order: Sequence[int]) -> None:
    """A legend in the upper left, and room for it above the highest line, which rises to the right.

    `order` is that of the newest entries; what was in the axes before comes first.
    """
    handles, labels = ax.get_legend_handles_labels()
    before = len(labels) - len(order)
    order = [*range(before), *(before + i for i in order)]
    labels = [labels[i] for i in order]
    lines = [line for label in labels for line in label.split("\n")]
    # In inches; a layout may take some of the height later for titles and notes.
    extent = ax.get_window_extent().transformed(ax.figure.dpi_scale_trans.inverted())
    ems = _LETTER * max(map(len, lines)) + 4.0  # with the handle
    # Up to the medium size of print; in narrow axes smaller, down to what can be read.
    size_pt = FontProperties(size="medium").get_size_in_points()
    size_pt = max(0.6 * size_pt, min(size_pt, 0.62 * 72.0 * extent.width / ems))
    ax.legend([handles[i] for i in order], labels, loc="upper left", fontsize=size_pt)
    right = x[0] + min(1.0, ems * size_pt / (72.0 * extent.width)) * (x[-1] - x[0])
    below = 1.0 - min(0.6, (1.5 * len(lines) + 1.0) * size_pt / (0.85 * 72.0 * extent.height))
    ax.set_ylim(0.0, max(ax.get_ylim()[1], np.interp(right, x, highest) / below))


def _grid(ax: Axes) -> None:
    ax.grid(color=_ink(ax), alpha=0.1, linewidth=0.8)
    ax.set_axisbelow(True)


def _percent(level: float) -> str:
    return f"{100 * level:.3g} %"


def _two_digits(value: float) -> str:
    """Two digits: none of what is written so is better known."""
    rounded = float(f"{value:.1e}")
    decimals = 1 - int(np.floor(np.log10(abs(rounded)))) if rounded else 0
    return f"{rounded:.{max(0, decimals)}f}"


def _increasing(values: Any, name: str, unit: str) -> np.ndarray[Any, Any]:
    """Numbers for a horizontal axis, smallest first."""
    array = np.atleast_1d(np.asarray(_core.read_array(values, name, unit), dtype=float))
    if array.ndim != 1 or array.size < 2:
        raise InvalidInput(name, f"an array of shape {array.shape}", "a list of at least two")
    if np.isnan(array).any():
        raise InvalidInput(name, "nan", "numbers")
    return np.sort(array)


# --- seconds ----------------------------------------------------------------------------------------


def cost_against_angle(body: Who, *, drops_deg: Any = None, ax: Optional[Axes] = None, **race: Any) -> Axes:
    """Seconds that low hips cost over a race, against how low they go, with bands.

    Parameters
    ----------
    body : Body or Swim
    drops_deg : list of number, optional
        Hip drops, degrees; text may give a depth, ``"6cm"``. 0 to 5 degrees unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.
    **race
        As of `libdrag.cost`, one value each, without a hip drop; ``event`` and ``time_s`` are needed.

    Returns
    -------
    matplotlib.axes.Axes
        Cost in seconds against hip drop in degrees: the median, the range of half of the draws, and the
        coverage interval (95 % unless ``level`` says otherwise). Cautions that the results carry stand below.

    Raises
    ------
    InvalidInput, UnknownKey, TypeError
        As of `libdrag.cost`; for a race with an array among its values.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ax = plot.cost_against_angle(swimmer, event="100 free", time_s="1:02.40", draws=200)
    """
    if drops_deg is None:
        drops_deg = np.linspace(0.0, 5.0, 21)
    drops = list(drops_deg) if np.iterable(drops_deg) and not isinstance(drops_deg, str) else [drops_deg]
    if len(drops) < 2:
        raise InvalidInput("hip drop", f"{len(drops)} of them", "a list of at least two")
    if _spread(body, {name: value for name, value in race.items() if name in _DEFAULTS})[0]:
        raise InvalidInput("race", "an array", "one body and one value each: the hip drops make the axis")
    costs = cost(body, hip_drop_deg=drops, **race)
    largest: Cost = cost(body, hip_drop_deg=drops[int(np.argmax(costs.table["hip_drop_deg"]))], **race)

    order = np.argsort(costs.table["hip_drop_deg"], kind="stable")
    drop = costs.table["hip_drop_deg"][order]
    half = [interval(draws, level=0.5) for draws in costs.draws[order]]
    own_figure = ax is None
    ax = _one(ax, (6.8, 4.6))
    outer = f"{_percent(costs.level)} range of {costs.draws.shape[-1]:,} draws"
    _band(ax, drop, costs.low[order], costs.high[order], 0.18, ":", outer)
    _band(
        ax, drop, [e.low for e in half], [e.high for e in half], 0.35, "--", "50 % range: half of the draws"
    )
    ax.plot(drop, costs.median[order], color=_ink(ax), linewidth=2, label="median")
    ax.set_xlim(drop[0], drop[-1])
    ax.set_ylim(bottom=0.0)
    ax.set_xlabel(
        "Hip drop at each breath (°)" if largest.when == "breath" else "Hip drop, held all the time (°)"
    )
    ax.set_ylabel("Cost over the race (s)")
    each = largest.per_degree_s
    _title(
        ax,
        f"Low hips over {largest.event} {largest.course.upper()}, {_core.format_time(largest.time_s)}",
        f"about {_seconds(each.median)} s for each degree "
        f"({_percent(each.level)} range {_seconds(each.low)} to {_seconds(each.high)} s)",
    )
    _grid(ax)
    _legend(ax, drop, costs.high[order], [2, 1, 0])
    if costs.cautions:
        _note(ax, "\n".join(_last_of_each(costs.cautions)), grows=own_figure, color=_VERMILLION)
    return ax


def _last_of_each(sentences: Sequence[str]) -> List[str]:
    """Of sentences that differ by their numbers alone, the last: that of the largest drop."""
    return list({re.sub(r"[0-9.]+", "#", sentence): sentence for sentence in sentences}.values())


def _band(ax: Axes, x: Array, low: Array, high: Array, alpha: float, linestyle: str, label: str) -> None:
    ax.fill_between(
        x, low, high, facecolor=to_rgba(_BLUE, alpha), edgecolor=_BLUE, linestyle=linestyle, label=label
    )


# --- drag and area ----------------------------------------------------------------------------------


def drag_against_speed(
    body: Who,
    *,
    speeds_m_s: Any = None,
    incline_deg: Number = None,
    depth_m: Number = None,
    ax: Optional[Axes] = None,
) -> Axes:
    """Passive drag against speed: friction, pressure and waves on top of each other, and how sure the total is.

    Parameters
    ----------
    body : Body or Swim
    speeds_m_s : list of number, optional
        0.1 to 4 m/s; 0.8 to 2.3 m/s, where passive drag was measured, unless given.
    incline_deg : number, optional
        Trunk incline, 0 to 60 degrees; the swimmer's own unless given.
    depth_m : number, optional
        Of the body's axis, 0 to 5 m; the swim's own (0, the surface) unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.

    Returns
    -------
    matplotlib.axes.Axes
        Newtons against metres per second. The interval is drawn at no more than 25 of the speeds, because
        each takes some 10 ms, with straight lines between.

    Raises
    ------
    InvalidInput
        As of `libdrag.passive_drag`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ax = plot.drag_against_speed(swimmer, speeds_m_s=[1.0, 1.5, 2.0])
    """
    if speeds_m_s is None:
        speeds_m_s = np.linspace(0.8, 2.3, 49)
    speed = _increasing(speeds_m_s, "speed", "m/s")
    _, depth = _incline_and_depth(body, incline_deg, depth_m)
    incline = body.incline_deg if incline_deg is None and isinstance(body, Swim) else incline_deg
    points = passive_drag(body, speed, incline, depth)
    some = speed[np.unique(np.linspace(0, len(speed) - 1, _SPEEDS_WITH_INTERVAL).round().astype(int))]
    sure = passive_drag(body, some, incline, depth, draws=_DRAWS, level=_LEVEL)

    ax = _one(ax, (6.8, 4.8))
    parts = (
        ("friction", points.friction_N, _SKY, ""),
        ("pressure", points.pressure_N, _ORANGE, "//"),
        ("waves", points.wave_N, _GREEN, ".."),
    )
    bottom = np.zeros_like(speed)
    for name, part, colour, hatch in parts:
        style = {"facecolor": colour, "edgecolor": "white", "hatch": hatch, "linewidth": 0.0}
        ax.fill_between(speed, bottom, bottom + part, label=name, **style)
        bottom = bottom + part
    ax.plot(speed, points.total_N, color=_ink(ax), linewidth=2, label="total")
    label = f"{_percent(_LEVEL)} range of the total, {_DRAWS:,} draws\n(one swimmer of this size)"
    ax.plot(some, sure.low_N, color=_ink(ax), linestyle="--", linewidth=1.2, label=label)
    ax.plot(some, sure.high_N, color=_ink(ax), linestyle="--", linewidth=1.2)
    order = [4, 3, 2, 1, 0]
    if not np.all(points.within_validity):
        _mark_unmeasured(ax, speed, points.within_validity)
        order = [5, *order]
    ax.set_xlim(speed[0], speed[-1])
    ax.set_ylim(bottom=0.0)
    ax.set_xlabel("Speed (m/s)")
    ax.set_ylabel("Passive drag (N)")
    where = "at the surface" if depth == 0.0 else f"{depth:.3g} m deep"
    held = "as towed" if incline is None else f"{_core.read(incline, 'incline', 'deg'):.3g}°"
    _title(ax, f"Passive drag: trunk incline {held}, {where}")
    _grid(ax)
    _legend(ax, some, sure.high_N, order)
    return ax


def _incline_and_depth(body: Who, incline_deg: Number, depth_m: Number) -> Tuple[float, float]:
    """As given, or the swim's own."""
    swim = swim_of(body)
    incline = swim.own_incline_deg()[0] if incline_deg is None else _core.read(incline_deg, "incline", "deg")
    return incline, swim.depth_m if depth_m is None else _core.read(depth_m, "depth", "m")


def _mark_unmeasured(ax: Axes, x: np.ndarray[Any, Any], measured: np.ndarray[Any, Any]) -> None:
    """Grey where nothing was measured, up to half way to the next point that was."""
    edges = np.concatenate([x[:1], 0.5 * (x[1:] + x[:-1]), x[-1:]])
    label = "beyond what was measured: extrapolated"
    for i in np.flatnonzero(~measured):
        ax.axvspan(
            edges[i], edges[i + 1], facecolor=_ink(ax), alpha=0.15, linewidth=0.0, zorder=2.2, label=label
        )
        label = "_nolegend_"


_MODEL_LINES = {
    "projected": (_VERMILLION, (0, (6, 2)), "in proportion to the area (upper bound)"),
    "slope": (_BLUE, (0, (7, 2, 1, 2)), "slope measured on a rigid diver"),
    "damped": (_GREEN, (0, (1, 1.2)), "damped: less than the area, from three studies"),
    "crossflow": (_PURPLE, (0, (3, 1.5, 1, 1.5, 1, 1.5)), "cross-flow over a slender body"),
    "blend": (None, "-", "blend of slope and damped (the default)"),
}


def area_against_incline(
    body: Who,
    *,
    inclines_deg: Any = None,
    posture: Union[Posture, str, None] = None,
    ax: Optional[Axes] = None,
) -> Axes:
    """The area that meets the water against trunk incline, and what each tilt model makes of it.

    Parameters
    ----------
    body : Body or Swim
    inclines_deg : list of number, optional
        0 to 60 degrees; 0 to 25 unless given.
    posture : Posture or str, optional
        The swim's own, else streamlined, unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.

    Returns
    -------
    matplotlib.axes.Axes
        Square metres against degrees. A model's line is the level area times its drag ratio, so that on one
        axis the growth of drag compares with the growth of area; the right-hand axis shows the ratio itself.

    Raises
    ------
    InvalidInput, UnknownKey
        As of `libdrag.tilt_ratio`.

    References
    ----------
    The models and their sources are in `libdrag.sources` under ``tilt.``; measured to 15 degrees on a rigid
    diver (Passmore & Rickers 2002).

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ax = plot.area_against_incline(swimmer, inclines_deg=[0, 5, 10, 15])
    """
    incline = _increasing(
        np.linspace(0.0, 25.0, 51) if inclines_deg is None else inclines_deg, "incline", "deg"
    )
    swim = _posed_swim(body, posture)
    area = swim.body.projected_area_m2(incline, swim.posture)
    level = swim.body.projected_area_m2(0.0, swim.posture)

    ax = _one(ax, (7.0, 5.0))
    ax.plot(incline, area, color=_SKY, linewidth=6, solid_capstyle="butt", label="projected area of the body")
    highest = area
    for model in TILT_MODELS:
        colour, linestyle, words = _MODEL_LINES[model]
        ratio = tilt_ratio(swim, incline, 0.0, model=model)
        width = 2.4 if model == "blend" else 1.8
        colour = colour or _ink(ax)
        ax.plot(incline, level * ratio, color=colour, linestyle=linestyle, linewidth=width, label=words)
        highest = np.maximum(highest, level * ratio)
    measured_to = sources()["tilt.measured_to"].value
    words = f"measured to {measured_to:.3g}°; beyond extrapolated"
    ax.axvspan(0.0, measured_to, facecolor=_ink(ax), alpha=0.07, zorder=0, label=words)
    ax.set_xlim(incline[0], incline[-1])
    ax.set_xlabel("Trunk incline, hips low (°)")
    ax.set_ylabel("Area, or level area × drag ratio (m²)")
    right = ax.secondary_yaxis("right", functions=(lambda y: y / level, lambda y: y * level))
    right.set_ylabel("Times that of the level body", fontsize=_points(ax, "medium"))
    right.tick_params(labelsize=_points(ax, "medium"))
    _title(ax, "Area that meets the water, and what tilt models make of it")
    _grid(ax)
    _legend(ax, incline, highest, range(len(TILT_MODELS) + 2))
    return ax


def _posed_swim(body: Who, posture: Union[Posture, str, None]) -> Swim:
    """The swim of a body or a swim, in the posture given or its own."""
    swim = swim_of(body)
    return swim if posture is None else replace(swim, posture=posture_of(posture))


# --- within the stroke ------------------------------------------------------------------------------


def stroke_cycle(
    body: Who,
    speed_m_s: Number,
    *,
    hip_drop_deg: Number,
    breathe: Optional[str] = None,
    axes: Any = None,
    **kwargs: Any,
) -> Any:
    """Hip drop and speed within the stroke, with and without the breath.

    Parameters
    ----------
    body : Body or Swim
    speed_m_s : number
        Mean over the cycle without breathing, 0.1 to 4 m/s.
    hip_drop_deg : number
        Peak of each breath, degrees.
    breathe : str, optional
        "never", "every-2", ...; the stroke's usual unless given.
    axes : pair of matplotlib.axes.Axes, optional
        Above for the hips and below for the speed; a new figure unless given.
    **kwargs
        As of `libdrag.stroke`.

    Returns
    -------
    pair of matplotlib.axes.Axes
        What was given as `axes`, or an array of two: degrees, and metres per second, against seconds.

    Raises
    ------
    InvalidInput, UnknownKey, TypeError
        As of `libdrag.stroke`.

    Notes
    -----
    Where in the cycle the hips are lowest has not been measured: their place in the picture is an assumption
    (`libdrag.sources`, ``stroke.breath_lag``). The speed is that of the centre of mass; a speed meter on the
    hips would show about twice the swing.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> above, below = plot.stroke_cycle(swimmer, 1.5, hip_drop_deg=4, draws=100)
    """
    result = stroke(body, speed_m_s, hip_drop_deg=hip_drop_deg, breathe=breathe, **kwargs)
    returned, grid = _several(
        axes, (2, 1), "two axes, one above the other", layout="constrained", figsize=(6.8, 5.8), sharex=True,
        gridspec_kw={"height_ratios": [2, 3]},
    )  # fmt: skip
    above, below = grid[:, 0]
    without, with_breath = result.without, result.with_breath
    cycle_s = without.period_s
    cycles = 1 if with_breath is None else int(round(with_breath.period_s / cycle_s))
    t_without, v_without = _repeated(without, cycles)
    no_breath = {"color": _BLUE, "linestyle": "--", "linewidth": 1.8}
    breath = {"color": _VERMILLION, "linestyle": "-", "linewidth": 2.2}

    above.plot(t_without, np.zeros_like(t_without), **no_breath)
    words = f"no breath: mean {without.mean_speed_m_s:.3f} m/s"
    below.plot(t_without, v_without, label=words, **no_breath)
    if with_breath is not None:
        drop = np.asarray(result.swing_deg)
        above.plot(with_breath.t_s, drop, **breath)
        words = f"breath: mean {with_breath.mean_speed_m_s:.3f} m/s"
        below.plot(with_breath.t_s, with_breath.v_m_s, label=words, **breath)
    slowest = min(m.slowest_m_s for m in (without, with_breath) if m is not None)
    fastest = max(m.fastest_m_s for m in (without, with_breath) if m is not None)
    swing = fastest - slowest
    peak = max(result.hip_drop_deg, 1.0)
    above.set_ylim(1.12 * peak, -0.12 * peak)
    for ax in (above, below):
        if with_breath is not None:
            ax.fill_between(with_breath.t_s, 0.0, 1.0, where=drop > 0.0, transform=ax.get_xaxis_transform(),
                            facecolor=_ink(ax), alpha=0.08, linewidth=0.0, zorder=0, label="hips low")  # fmt: skip
        for i in range(1, cycles):
            ax.axvline(i * cycle_s, color=_GREY, linewidth=1.0, linestyle=":")
        ax.set_xlim(0.0, cycles * cycle_s)
        ax.set_xlabel("Time (s)" if cycles == 1 else f"Time (s); dotted lines part {cycles} stroke cycles")
        _grid(ax)
    if axes is None:  # one below the other: the upper shares the lower one's axis
        above.set_xlabel("")
    above.set_ylabel("Hips lower by (°)")
    _title(above, _stroke_title(body, result.hip_drop_deg, with_breath is not None))
    below.set_ylabel("Speed of the centre of mass (m/s)")
    size_pt = _points(below, "small")
    labels = below.get_legend_handles_labels()[1]
    in_one_row = _LETTER * size_pt * (sum(map(len, labels)) + 6.0 * len(labels)) < _width_pt(below)
    below.legend(loc="upper center", ncol=len(labels) if in_one_row else 1, fontsize=size_pt)
    below.set_ylim(slowest - 0.08 * swing, fastest + (0.45 if in_one_row else 1.0) * swing)
    notes = list(result.cautions)
    if result.full is not None:
        lost = [_two_digits(-100.0 * x) for x in (result.full.median, result.full.high, result.full.low)]
        notes.insert(
            0,
            f"Mean speed lost: {lost[0]} % ({_percent(result.full.level)} range {lost[1]} to {lost[2]} %). "
            "Where in the cycle the hips are lowest has not been measured: it is an assumption of the library.",
        )
    if notes:
        _note(below, "\n".join(notes), grows=axes is None)
    return returned


def _repeated(motion: Motion, cycles: int) -> Tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """A motion of one cycle, as often as wanted."""
    t = np.concatenate(
        [motion.t_s[:-1] + i * motion.period_s for i in range(cycles)] + [[cycles * motion.period_s]]
    )
    return t, np.append(np.tile(motion.v_m_s[:-1], cycles), motion.v_m_s[-1])


_STROKE_WORDS = {"crawl": "crawl", "back": "backstroke", "breast": "breaststroke", "fly": "butterfly"}


def _stroke_title(body: Who, drop: float, breathes: bool) -> str:
    words = _STROKE_WORDS[swim_of(body).stroke]
    if not breathes:
        return f"Within the stroke: {words} without a breath"
    return f"Within the stroke: {words}, hips {drop:.3g}° lower at each breath"


# --- evidence and doubts ----------------------------------------------------------------------------


def evidence(result: Optional[Evidence] = None, *, ax: Optional[Axes] = None) -> Axes:
    """Published measurements against what the library predicts from all other studies, by kind; the misses are named.

    Parameters
    ----------
    result : Evidence, optional
        What `libdrag.evidence` returned; called with its defaults, which takes a second, unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.

    Returns
    -------
    matplotlib.axes.Axes
        Predicted against measured, each in the unit of its quantity, both logarithmic. Vertical bars are the
        library's intervals, horizontal ones a standard deviation of the measurement, where published. What is
        not above zero has no place on a logarithmic axis and is listed below.

    Raises
    ------
    TypeError
        For anything but an evidence table.

    Examples
    --------
    >>> ax = plot.evidence(libdrag.evidence())
    """
    if result is None:
        result = _evidence()
    if not isinstance(result, Evidence):
        raise wrong_type("result", result, "what evidence() returns")
    own_figure = ax is None
    ax = _one(ax, (7.2, 6.9))
    drawn = [row for row in result.rows if row.measured > 0.0 and row.predicted > 0.0]
    ends = [x for row in drawn for x in (row.measured, row.predicted, row.high)]
    ends += [row.low for row in drawn if row.low > 0.0]
    limits = (10 ** np.floor(np.log10(min(min(ends), 0.005))), 1.6 * max(ends))
    ax.set_xscale("log")
    ax.set_yscale("log")
    ax.plot(limits, limits, color=_GREY, linewidth=1.0, label="predicted = measured", zorder=1)
    ms = 0.6 * _points(ax, "medium")
    back = ax.get_facecolor()
    kinds: List[Tuple[str, str, Any, Any, str]] = [
        ("swimmer", "o", _BLUE, _BLUE, "swimmers"),
        ("mannequin", "s", _ORANGE, back, "mannequins, devices"),
        ("computed", "^", _PURPLE, back, "computed bodies"),
        ("regression", "D", _GREEN, back, "formulas of body size"),
    ]
    for kind, marker, colour, inside, label in kinds:
        rows = [row for row in drawn if row.kind == kind and row.inside]
        if rows:
            style = {"marker": marker, "color": colour, "mfc": inside, "ms": ms}
            _with_bars(ax, rows, limits[0], f"{label} ({len(rows)})", style)
    misses = [row for row in drawn if not row.inside]
    if misses:
        style = {"marker": "X", "color": _VERMILLION, "ms": 1.5 * ms}
        _with_bars(ax, misses, limits[0], f"outside the range ({len(misses)})", style)
    ax.set_xlim(limits)
    ax.set_ylim(limits)
    ax.set_aspect("equal")
    units = ", ".join(dict.fromkeys("m²" if r.unit == "m2" else r.unit for r in drawn if r.unit != "1"))
    ax.set_xlabel(f"Measured ({units}, or a ratio)")
    ax.set_ylabel(f"Predicted ({units}, or a ratio)")
    hits = sum(row.inside for row in result.rows)
    _title(
        ax, f"Evidence: {hits} of {len(result.rows)} measurements in the range that the other studies give"
    )
    _grid(ax)
    _name_misses(ax, drawn)
    # In the corner above the diagonal, which leaves it half of the width.
    letters = max(len(str(label)) for label in ax.get_legend_handles_labels()[1]) + 5
    widest_pt = 0.55 * _width_pt(ax) / (_LETTER * letters)
    ax.legend(loc="upper left", fontsize=min(_points(ax, "small"), widest_pt))
    notes = [
        "Upright bars: the interval predicted without the row's own study. Level bars: one standard deviation "
        "between those measured."
    ]
    rest = [row for row in result.rows if row not in drawn]
    if rest:
        notes.append("Not on logarithmic axes: " + "; ".join(map(_in_words, rest)) + ".")
    _note(ax, "\n".join(notes), grows=own_figure)
    return ax


def _with_bars(ax: Axes, rows: List[EvidenceRow], floor: float, label: str, style: Dict[str, Any]) -> None:
    x = np.array([row.measured for row in rows])
    y = np.array([row.predicted for row in rows])
    low = np.array([max(row.low, 0.1 * floor) for row in rows])
    high = np.array([row.high for row in rows])
    sd = np.array([row.sd or 0.0 for row in rows])
    ax.errorbar(
        x, y, yerr=[np.maximum(y - low, 0.0), np.maximum(high - y, 0.0)], xerr=[np.minimum(sd, 0.99 * x), sd],
        linestyle="none", elinewidth=0.9, label=label, **style,
    )  # fmt: skip


def _name_misses(ax: Axes, rows: List[EvidenceRow]) -> None:
    """Names of the misses, each at the nearest free place on its side of the diagonal."""
    low, high = np.log10(ax.get_xlim())
    extent = ax.get_window_extent()
    decade_pt = min(extent.width, extent.height) * 72.0 / ax.figure.dpi / (high - low)
    size_pt = _points(ax, "small")
    half_height = 0.75 * size_pt / decade_pt
    # Boxes that hold something already: left, right, bottom, top in decades.
    taken = []
    for row in rows:
        x, y, sd = row.measured, row.predicted, row.sd or 0.0
        bar = (np.log10(max(row.low, 10**low)), np.log10(row.high))
        taken.append((np.log10(x) - 0.06, np.log10(x) + 0.06, np.log10(y) - 0.06, np.log10(y) + 0.06))
        taken.append((np.log10(x) - 0.01, np.log10(x) + 0.01, *bar))
        taken.append(
            (np.log10(max(x - sd, 10**low)), np.log10(x + sd), np.log10(y) - 0.01, np.log10(y) + 0.01)
        )

    def free(box: Tuple[float, float, float, float]) -> bool:
        left, right, bottom, top = box
        on_diagonal = left <= top and bottom <= right
        outside = left < low or right > high or bottom < low or top > high
        touches = any(left < r and l < right and bottom < t and b < top for l, r, b, t in taken)
        return not (on_diagonal or outside or touches)

    for row in sorted((row for row in rows if not row.inside), key=lambda row: -row.predicted):
        below = row.predicted < row.measured
        width = 0.56 * size_pt * len(row.id) / decade_pt
        boxes = []
        for distance in np.arange(0.2, 2.0, 0.1):
            for angle in np.radians(np.arange(0.0, 100.0, 10.0)):
                right_by, down_by = distance * np.cos(angle), distance * np.sin(angle)
                if below:
                    left = min(np.log10(row.measured) + right_by, high - width - 0.03)
                    y = np.log10(row.predicted) - down_by
                else:
                    left = max(np.log10(row.measured) - right_by, low + width + 0.03) - width
                    y = np.log10(row.predicted) + down_by
                boxes.append((left, left + width, y - half_height, y + half_height))
        box = next(filter(free, boxes), boxes[0])
        taken.append(box)
        ax.annotate(
            row.id,
            xy=(row.measured, row.predicted),
            xytext=(10 ** (box[0] if below else box[1]), 10 ** (0.5 * (box[2] + box[3]))),
            fontsize=size_pt,
            color=_VERMILLION,
            ha="left" if below else "right",
            va="center",
            arrowprops={"arrowstyle": "-", "color": _VERMILLION, "linewidth": 0.7, "shrinkB": 4.0},
        )


def _in_words(row: EvidenceRow) -> str:
    unit = "" if row.unit == "1" else f" {row.unit}"
    verdict = "inside" if row.inside else "outside"
    predicted = f"{row.predicted:.2g} ({row.low:.2g} to {row.high:.2g})"
    return f"{row.id}, measured {row.measured:.3g}{unit}, predicted {predicted}, {verdict}"


def doubts(result: Any, *, which: str = "passive", ax: Optional[Axes] = None) -> Axes:
    """What makes a range wide: the share of each uncertain input, largest first.

    Parameters
    ----------
    result : Cost, Drag, Propagated or AidEffect
    which : {"passive", "active"}
        Of a `Drag`: whose range.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.

    Returns
    -------
    matplotlib.axes.Axes
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
    >>> ax = plot.doubts(cost(swimmer, event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=200))
    """
    because, title = _because(result, which)
    shares: Dict[str, float] = {}
    for name, share in because:  # several inputs may go by one name; together they explain at least the sum
        shares[name] = shares.get(name, 0.0) + share
    ranked = sorted(shares.items(), key=lambda item: -item[1])
    shown = [item for item in ranked[:5] if item[1] >= 0.01]
    rest = sum(share for _, share in ranked[len(shown) :])
    together = max(0.0, 1.0 - sum(shares.values()))
    bars = [(name, share, _BLUE, "") for name, share in shown]
    if rest > 0.0:
        others = len(ranked) - len(shown)
        bars.append((f"{others} smaller one{'s' if others > 1 else ''}", rest, _SKY, ""))
    bars.append(("several of them together", together, _GREY, "//"))

    ax = _one(ax, (7.4, 0.62 * len(bars) + 1.4))
    for i, (name, share, colour, hatch) in enumerate(bars):
        ax.barh(i, 100.0 * share, height=0.62, color=colour, hatch=hatch, edgecolor="white")
        ax.text(
            100.0 * share, i, f"  {_two_digits(100.0 * share)} %", va="center", fontsize=_points(ax, "medium")
        )
    ax.set_yticks(range(len(bars)), ["\n".join(textwrap.wrap(name, 34)) for name, *_ in bars])
    ax.tick_params(axis="y", length=0)
    ax.invert_yaxis()
    ax.set_xlim(0.0, max(100.0 * share for _, share, *_ in bars) * 1.18)
    ax.set_xlabel("Share of the variance (%)")
    _title(ax, *title)
    if _width_pt(ax) < _FULL_WIDTH_PT:  # the names leave the bars little of it
        ax.title.set(x=1.0, ha="right")
    for side in ("top", "right", "left"):
        ax.spines[side].set_visible(False)
    return ax


def _because(result: Any, which: str) -> Tuple[Sequence[Contribution], Tuple[str, str]]:
    if which not in ("passive", "active"):
        raise InvalidInput("which", shown(which), "passive or active")
    kinds = {
        Drag: (f"{which}_N", f"because_{which}", f"{which} drag", "N"),
        Cost: ("cost_s", "because", "cost", "s"),
        Propagated: ("estimate", "because", "result", ""),
        AidEffect: ("breath_penalty_ratio", "because", "ratio of the breath's price", ""),
    }
    kind = next((kind for kind in kinds if isinstance(result, kind)), None)
    if kind is None:
        raise wrong_type("result", result, "a cost, a drag, or another result with doubts")
    ranged, doubted, name, unit = kinds[kind]
    found, because = getattr(result, ranged), getattr(result, doubted)
    digits = _seconds if unit == "s" else _two_digits
    words = f"{digits(found.low)} to {digits(found.high)} {unit}".rstrip()
    return because, (
        f"What makes the {name} uncertain",
        f"({_percent(found.level)} range {words})",
    )


# --- silhouettes ------------------------------------------------------------------------------------


def _outlines(posed: PosedBody, axes: Tuple[int, int]) -> np.ndarray[Any, Any]:
    """Convex outlines of the frusta seen along the third axis, shape ``(n, directions, 2)``, anticlockwise.

    Each point is the farthest in its direction of both sections' rims: of the rim c + cos(t) a + sin(t) b
    that is c + ((a·d) a + (b·d) b) / |(a·d, b·d)|.
    """
    solid = posed.frusta()[0][..., axes]
    centre, a, b = solid[:, :, 0], solid[:, :, 1], solid[:, :, 2]
    # Half a step off the axes, where a section seen edge-on has no farthest point of its own.
    angle = 2.0 * np.pi * (np.arange(_DIRECTIONS) + 0.5) / _DIRECTIONS
    d = np.stack([np.cos(angle), np.sin(angle)])
    along_a, along_b = a @ d, b @ d
    reach = np.hypot(along_a, along_b)
    scale = np.divide(1.0, reach, out=np.zeros_like(reach), where=reach > 0.0)
    rim = centre[:, :, None] + (
        (scale * along_a)[..., None] * a[:, :, None] + (scale * along_b)[..., None] * b[:, :, None]
    )
    front_is_farther = (centre @ d + reach)[:, 1] > (centre @ d + reach)[:, 0]
    return np.where(front_is_farther[..., None], rim[:, 1], rim[:, 0])


_SIDE, _FRONT = (0, 2), (1, 2)  # axes of the picture: forward or to the left, and up


def _with_low_hips(swim: Swim, incline_deg: float, hip_drop_deg: float) -> PosedBody:
    """Trunk, head and legs turned about the shoulders; arms that reach ahead stay where they are."""
    posture = posture_of(swim.posture)
    if posture.arms != "arms-at-sides":
        posture = replace(posture, arm_angle_deg=float(posture.arm_angle_deg) + hip_drop_deg)
    return swim.body.posed(posture, incline_deg + hip_drop_deg)


def _in_water(
    swim: Swim, incline_deg: float, hip_drop_deg: float, view: Tuple[int, int]
) -> Tuple[np.ndarray[Any, Any], np.ndarray[Any, Any]]:
    """Outlines of a body with low hips, and its hip and shoulder points: metres from the toes and the water line.

    The shoulders are where they are without hip drop and head lift: at the swim's depth, or at the surface as high
    as the body stays under water, because areas are those of the submerged body.
    """
    own_line = swim.body.posed(replace(posture_of(swim.posture), head_lift_deg=0.0), incline_deg)
    own = _outlines(own_line, view)
    hips = np.array([-own[..., 0].min() if view == _SIDE else 0.0, min(-own[..., 1].max(), -swim.depth_m)])

    def to_the_shoulders(incline: float) -> np.ndarray[Any, Any]:
        ahead, up = swim.body.shoulder_hip_m * np.array(
            [np.cos(np.radians(incline)), np.sin(np.radians(incline))]
        )
        return np.array([ahead if view == _SIDE else 0.0, up])

    shoulders = hips + to_the_shoulders(incline_deg)
    low_hips = shoulders - to_the_shoulders(incline_deg + hip_drop_deg)
    outlines = _outlines(_with_low_hips(swim, incline_deg, hip_drop_deg), view)
    return outlines + low_hips, np.array([low_hips, shoulders])


def _draw_body(ax: Axes, outlines: np.ndarray[Any, Any], style: Dict[str, Any]) -> PathPatch:
    """One patch whose overlapping outlines, all turning the same way, fill as their union."""
    style = normalize_kwargs(style, PathPatch)
    if "color" in style:  # edges would show where outlines overlap
        style["facecolor"] = style.pop("color")
    style = {"facecolor": _BLUE, "linewidth": 0.0, "zorder": 3, **style}
    patch = PathPatch(Path.make_compound_path_from_polys(outlines), **style)
    ax.add_artist(patch)  # add_patch would look for the extent of 15,000 corners one by one
    ax.update_datalim(outlines.reshape(-1, 2))
    ax.update_datalim([(outlines[..., 0].mean(), 0.12)])  # air above the water
    ax.set_aspect("equal")
    ax.margins(0.04)
    ax.autoscale_view()
    return patch


def _draw_water(ax: Axes) -> None:
    """Once on each axes, however many bodies are in it."""
    if not any(line.get_gid() == "water line" for line in ax.lines):
        ax.axhline(0.0, color=_SKY, linewidth=1.5, zorder=2, gid="water line")
        # An artist, not a span: spans count when the limits are chosen.
        style = {"transform": ax.get_yaxis_transform(), "facecolor": _SKY, "alpha": 0.15, "zorder": 0}
        ax.add_artist(Rectangle((0.0, -10.0), 1.0, 10.0, **style))


def silhouette_side(
    body: Who,
    *,
    incline_deg: Number = 0.0,
    hip_drop_deg: Number = 0.0,
    posture: Union[Posture, str, None] = None,
    ax: Optional[Axes] = None,
    **style: Any,
) -> Axes:
    """The body from the side, to scale, swimming to the right.

    Parameters
    ----------
    body : Body or Swim
    incline_deg : number
        Trunk incline without the fault, hips low positive; -10 to 60 degrees.
    hip_drop_deg : number
        How much lower the hips are, 0 to 45 degrees, incline and drop together up to 60: the shoulders stay
        where they are, and arms that reach ahead with them.
    posture : Posture or str, optional
        The swim's own, else streamlined, unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.
    **style
        Of the patch, as of `matplotlib.patches.PathPatch`: ``facecolor``, ``alpha``, ``label`` ...

    Returns
    -------
    matplotlib.axes.Axes
        Metres from the toes before the hips go down, and metres from the water line; both to one scale. At the
        surface the highest point of the body without the drop touches the water line, a lifted head aside, because
        areas are those of the submerged body. Bodies that differ by their hip drop or their head have their
        shoulders in one place.

    Raises
    ------
    InvalidInput, UnknownKey
        As of `libdrag.Body.posed`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ax = plot.silhouette_side(swimmer, incline_deg=10, hip_drop_deg=4)
    """
    swim = _posed_swim(body, posture)
    incline, drop = _core.read(incline_deg, "incline", "deg"), _hip_drop(hip_drop_deg)
    outlines, _ = _in_water(swim, incline, drop, _SIDE)
    ax = _one(ax, (8.0, 2.9))
    _draw_water(ax)
    _draw_body(ax, outlines, style)
    ax.set_xlabel("From the toes (m); swimming to the right →")
    ax.set_ylabel("Height (m)")
    lower = f", hips {drop:.3g}° lower" if drop else ""
    _title(ax, f"From the side: trunk incline {incline:.3g}°{lower}")
    return ax


def _hip_drop(given: Number) -> float:
    drop = _core.read(given, "hip drop", "deg")
    if not 0.0 <= drop <= 45.0:
        raise InvalidInput("hip drop", f"{drop:.4g} deg", "0 deg to 45 deg")
    return drop


def silhouette_front(
    body: Who,
    *,
    incline_deg: Number = 0.0,
    posture: Union[Posture, str, None] = None,
    ax: Optional[Axes] = None,
    **style: Any,
) -> Axes:
    """The body from the front, to scale: what meets the water.

    Parameters
    ----------
    body : Body or Swim
    incline_deg : number
        Trunk incline, hips low positive; -10 to 60 degrees.
    posture : Posture or str, optional
        The swim's own, else streamlined, unless given.
    ax : matplotlib.axes.Axes, optional
        Where to draw; a new figure unless given.
    **style
        Of the patch, as of `matplotlib.patches.PathPatch`.

    Returns
    -------
    matplotlib.axes.Axes
        Metres across, the swimmer's left to the right, and metres from the water line; both to one scale. The
        area of the patch is `libdrag.Body.projected_area_m2`.

    Raises
    ------
    InvalidInput, UnknownKey
        As of `libdrag.Body.posed`.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> ax = plot.silhouette_front(swimmer, incline_deg=10)
    """
    swim = _posed_swim(body, posture)
    posed = swim.body.posed(swim.posture, incline_deg)
    outlines, _ = _in_water(swim, posed.incline_deg, 0.0, _FRONT)
    ax = _one(ax, (4.2, 4.4))
    _draw_water(ax)
    _draw_body(ax, outlines, style)
    ax.set_xlabel("Across (m)")
    ax.set_ylabel("Height (m)")
    _title(ax, f"From the front: {posed.projected_area_m2:.3f} m²", "meets the water")
    return ax


def level_and_low(
    body: Who, *, incline_deg: Number = None, hip_drop_deg: Number = 4.0, axes: Any = None
) -> Any:
    """The same swimmer on the own body line and with the hips down, from the side and from the front.

    Parameters
    ----------
    body : Body or Swim
    incline_deg : number, optional
        Trunk incline without the fault, 0 to 60 degrees; the swimmer's own unless given.
    hip_drop_deg : number
        How much lower the hips go, degrees.
    axes : array of four matplotlib.axes.Axes, optional
        Side and front without the fault, side and front with it; a new figure unless given.

    Returns
    -------
    array of matplotlib.axes.Axes
        What was given as `axes`, or an array of shape ``(2, 2)``. All in metres, to scale. Behind the lower
        body stands the upper one in grey.

    Raises
    ------
    InvalidInput
        As of `libdrag.Body.posed` and `libdrag.tilt_ratio`.

    Notes
    -----
    Drag does not grow as the area does that meets the water: the extra drag in the note is that of the swim's
    tilt model, and its range that of all models (`area_against_incline` draws them).

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> axes = plot.level_and_low(swimmer, hip_drop_deg=4)
    >>> axes.shape
    (2, 2)
    """
    swim = swim_of(body)
    own = _incline_and_depth(swim, incline_deg, None)[0]
    drop = _hip_drop(hip_drop_deg)
    taken = tilt_ratio(swim, own + drop, own)
    ratios = [tilt_ratio(swim, own + drop, own, model=model) for model in TILT_MODELS]
    returned, grid = _several(
        axes, (2, 2), "four axes, in two rows of side and front", layout="compressed", figsize=(9.6, 5.7),
        gridspec_kw={"width_ratios": [5.7, 1.0]},
    )  # fmt: skip

    for column, view in ((0, _SIDE), (1, _FRONT)):
        bodies = [_in_water(swim, own, lower, view) for lower in (0.0, drop)]
        for row, (ax, colour) in enumerate(zip(grid[:, column], (_BLUE, _VERMILLION))):
            _draw_water(ax)
            if row == 1:
                _draw_body(ax, bodies[0][0], {"facecolor": "0.72", "zorder": 2.5})
            outlines, trunk = bodies[row]
            _draw_body(ax, outlines, {"facecolor": colour})
            if view == _SIDE:
                ax.plot(*trunk.T, color="white", linewidth=1.5, marker="o", zorder=4)
            for outlines, _ in bodies:
                ax.update_datalim(outlines.reshape(-1, 2))
            ax.autoscale_view()
            if row == 1 or axes is not None:
                ax.set_xlabel("From the toes (m); swimming to the right →" if view == _SIDE else "Across (m)")
            ax.set_ylabel("Height (m)" if view == _SIDE or axes is not None else "")
    areas = [_with_low_hips(swim, own, lower).projected_area_m2 for lower in (0.0, drop)]
    more_area = 100.0 * (areas[1] / areas[0] - 1.0)
    lower_cm = 100.0 * swim.body.shoulder_hip_m * np.sin(np.radians(drop))
    _title(grid[0, 0], f"Hips up: trunk incline {own:.3g}°")
    _title(grid[1, 0], f"Hips {drop:.3g}° ({lower_cm:.2g} cm) lower: trunk incline {own + drop:.3g}°")
    grid[0, 1].set_title(f"{areas[0]:.3f} m²\nfrontal area")
    grid[1, 1].set_title(f"{areas[1]:.3f} m²\n({more_area:.0f} % more)")
    drags = [_two_digits(100.0 * (ratio - 1.0)) for ratio in (taken, min(ratios), max(ratios))]
    _note(
        grid[1, 0],
        f"{more_area:.0f} % more area meets the water; drag at the same speed grows by about {drags[0]} % "
        f"(the tilt models, which turn the arms as well, disagree: {drags[1]} to {drags[2]} %). "
        "White: from shoulder to hip. Grey: the hips up, as above.",
        grows=axes is None,
        fontsize="medium",
    )
    return returned


# --- for notebooks ----------------------------------------------------------------------------------


def slider(
    draw: Callable[..., Any],
    *,
    figsize: Tuple[float, float] = (7.5, 3.4),
    **ranges: Tuple[float, float, float],
) -> None:
    """A picture with a slider for each of its numbers, or three still ones where no slider can be shown.

    Parameters
    ----------
    draw : callable
        Draws on axes: ``draw(ax, **numbers)``.
    figsize : tuple of float
        Of the picture under the sliders, inches.
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
    >>> def draw(ax, hip_drop_deg):
    ...     plot.silhouette_side(swimmer, hip_drop_deg=hip_drop_deg, ax=ax)
    >>> plot.slider(draw, hip_drop_deg=(0, 10, 4))  # doctest: +SKIP
    """
    if not ranges:
        raise InvalidInput("ranges", "none", "name=(lowest, highest, first value)")
    for name, limits in ranges.items():
        if len(limits) != 3 or not limits[0] <= limits[2] <= limits[1]:
            raise InvalidInput(name, shown(limits), "(lowest, highest, first value)")
    from matplotlib import pyplot

    widgets = _live_widgets()
    if widgets is None:
        start = {name: limits[2] for name, limits in ranges.items()}
        first, (low, high, middle) = next(iter(ranges.items()))
        # One below the other: side by side each would be too narrow for its print.
        size = (figsize[0], 2.6 * figsize[1])
        _, axes = pyplot.subplots(3, 1, figsize=size, sharex=True, layout="constrained")
        for ax, value in zip(axes, (low, middle, high)):
            draw(ax, **{**start, first: value})
            ax.label_outer()
        pyplot.show()
        return

    def picture(**values: float) -> None:
        _, ax = pyplot.subplots(figsize=figsize, layout="constrained")
        draw(ax, **values)
        pyplot.show()

    def one(limits: Tuple[float, float, float]) -> Any:
        low, high, at = limits
        return widgets.FloatSlider(
            value=at, min=low, max=high, step=(high - low) / 40, continuous_update=False
        )

    widgets.interact(picture, **{name: one(limits) for name, limits in ranges.items()})


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
