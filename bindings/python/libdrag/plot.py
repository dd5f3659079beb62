"""Pictures of bodies with matplotlib, what makes a result unsure, and a slider for pictures.

What a result shows the library draws: ``cost(...).picture()``. Functions of a body draw on the axes they are
given and return them, or make a figure of their own that a notebook shows. All numbers come from the library's
own calls; nothing is computed here but outlines and percentages.

>>> import matplotlib.figure
>>> import libdrag
>>> swimmer = libdrag.Body(sex="f", stature_m="172cm", mass_kg=63)
>>> axes = matplotlib.figure.Figure().add_subplot()
>>> libdrag.plot.silhouette_side(swimmer, ax=axes) is axes
True
"""

from __future__ import annotations

import sys
import textwrap
from dataclasses import replace
from typing import Any, Callable, Dict, Optional, Tuple, Union

import numpy as np
from matplotlib.axes import Axes  # type: ignore[import]
from matplotlib.cbook import normalize_kwargs  # type: ignore[import]
from matplotlib.font_manager import FontProperties  # type: ignore[import]
from matplotlib.patches import PathPatch, Rectangle  # type: ignore[import]
from matplotlib.path import Path  # type: ignore[import]

from . import _core
from ._body import Number, PosedBody, Posture, posture_of
from ._cost import Cost
from ._drag import TILT_MODELS, Drag, tilt_ratio
from ._draws import Propagated
from ._errors import InvalidInput, shown, wrong_type
from ._motion import AidEffect
from ._picture import Picture
from ._swim import Swim, Who, swim_of

__all__ = [
    "doubts",
    "level_and_low",
    "silhouette_front",
    "silhouette_side",
    "slider",
]

# Okabe & Ito 2008, Color Universal Design.
_SKY = "#56B4E9"
_BLUE = "#0072B2"
_VERMILLION = "#D55E00"

_FULL_WIDTH_PT = 260.0  # of axes that carry print in full size
_LETTER = 0.52  # width of a letter over the size of the print, on average
_DIRECTIONS = 120  # of support points round an outline: the outline is inside by less than 0.1 % of its area


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


def _two_digits(value: float) -> str:
    """Two digits: none of what is written so is better known."""
    rounded = float(f"{value:.1e}")
    decimals = 1 - int(np.floor(np.log10(abs(rounded)))) if rounded else 0
    return f"{rounded:.{max(0, decimals)}f}"


# --- doubts -----------------------------------------------------------------------------------------


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
    tilt model, and its range that of all models.

    Examples
    --------
    >>> swimmer = Body("f", 1.72, 63)
    >>> axes = plot.level_and_low(swimmer, hip_drop_deg=4)
    >>> axes.shape
    (2, 2)
    """
    swim = swim_of(body)
    own = swim.own_incline_deg()[0] if incline_deg is None else _core.read(incline_deg, "incline", "deg")
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


def _posed_swim(body: Who, posture: Union[Posture, str, None]) -> Swim:
    """The swim of a body or a swim, in the posture given or its own."""
    swim = swim_of(body)
    return swim if posture is None else replace(swim, posture=posture_of(posture))


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
