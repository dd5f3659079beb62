"""The pictures: what they show is what the library says, on the axes given, and nothing else is touched."""

import dataclasses
import io
import os
import pickle
import re
import subprocess
from xml.etree import ElementTree

import matplotlib

matplotlib.use("Agg")

import numpy as np  # noqa: E402
import pytest  # noqa: E402
from matplotlib import pyplot  # noqa: E402
from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: E402
from matplotlib.figure import Figure  # noqa: E402
from matplotlib.patches import PathPatch  # noqa: E402

import libdrag  # noqa: E402

plot = libdrag.plot
HER = libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)
HIM = libdrag.Body(sex="m", stature_m=1.88, mass_kg=82)
RACE = {"event": "100 free", "time_s": 62.40, "breathe": "every-2", "draws": 2000}

ONE = {
    "side": lambda ax: plot.silhouette_side(HER, incline_deg=10, ax=ax),
    "front": lambda ax: plot.silhouette_front(HER, incline_deg=10, ax=ax),
}
SEVERAL = {
    "level_and_low": ((2, 2), lambda axes: plot.level_and_low(HER, axes=axes)),
}


def new_axes(*shape):
    """Axes of a figure that pyplot knows nothing of."""
    figure = Figure(figsize=(8, 6))
    FigureCanvasAgg(figure)
    return figure.subplots(*shape)


def texts(ax):
    return "\n".join(text.get_text() for text in ax.texts).replace("\n", " ")


def body_drawn(ax, which=-1):
    return [artist for artist in ax.patches if isinstance(artist, PathPatch)][which].get_path()


def outline(ax, which=-1):
    """Corners of the drawn body, all parts together."""
    path = body_drawn(ax, which)
    return path.vertices[path.codes != path.CLOSEPOLY]


@pytest.fixture
def untouched():
    """Runs a test and checks that pyplot and the style are as they were."""
    before, figures = dict(matplotlib.rcParams), pyplot.get_fignums()
    yield
    assert dict(matplotlib.rcParams) == before
    assert pyplot.get_fignums() == figures


def no_clipped_text(figure):
    """All text of the figure lies inside it."""
    figure.canvas.draw()
    renderer = figure.canvas.get_renderer()
    for ax in figure.axes:
        for text in [ax.title, ax.xaxis.label, ax.yaxis.label, *ax.texts]:
            box = text.get_window_extent(renderer)
            if text.get_text():
                assert box.x0 >= -1 and box.y0 >= -1, text.get_text()
                assert box.x1 <= figure.bbox.x1 + 1 and box.y1 <= figure.bbox.y1 + 1, text.get_text()


# --- all of them ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ONE)
def test_draws_on_the_axes_given_and_returns_them(name, untouched):
    ax = new_axes()
    assert ONE[name](ax) is ax
    assert ax.get_title()
    assert "(" in ax.get_xlabel() and ax.get_xlabel().rstrip().endswith((")", "→"))


@pytest.mark.parametrize("name", SEVERAL)
@pytest.mark.parametrize("kind", [list, np.asarray], ids=["list", "array"])
def test_draws_on_all_the_axes_given_and_returns_them(name, kind, untouched):
    shape, draw = SEVERAL[name]
    axes = kind(list(new_axes(*shape).ravel()))
    assert draw(axes) is axes
    for ax in axes:
        assert ax.get_xlabel() and ax.get_ylabel()


@pytest.mark.parametrize("name", [*ONE, *SEVERAL])
def test_a_figure_of_its_own_holds_all_its_text(name):
    before, style = pyplot.get_fignums(), dict(matplotlib.rcParams)
    made = ONE[name](None) if name in ONE else SEVERAL[name][1](None)
    assert len(pyplot.get_fignums()) == len(before) + 1  # a notebook shows what pyplot holds
    figure = np.ravel(np.asarray(made, dtype=object))[0].figure
    assert figure.number in pyplot.get_fignums()
    no_clipped_text(figure)
    png = io.BytesIO()
    figure.savefig(png, dpi=72)
    pyplot.close(figure)
    assert dict(matplotlib.rcParams) == style
    png.seek(0)
    image = pyplot.imread(png)
    inked = np.any(image[..., :3] < 0.9, axis=2).mean()
    assert 0.02 < inked < 0.9


@pytest.mark.parametrize(
    "name, x, y",
    [
        ("side", "(m)", "(m)"),
        ("front", "(m)", "(m)"),
    ],
)
def test_axes_carry_units(name, x, y):
    ax = ONE[name](new_axes())
    assert x in ax.get_xlabel() and y in ax.get_ylabel()


# --- what the library draws -------------------------------------------------------------------------

RESULTS = {
    "cost": lambda: libdrag.cost(HER, hip_drop_deg=4, **RACE),
    "gain": lambda: libdrag.wanted_gain(HER, 0.2, hip_drop_deg=4, **RACE),
    "implied": lambda: libdrag.implied_hip_drop(HER, 62.0, **RACE),
    "drag": lambda: libdrag.drag(HER, 1.5, draws=500),
    "stroke": lambda: libdrag.stroke(HER, 1.6, hip_drop_deg=4, draws=100),
    "evidence": libdrag.evidence,
    "watch": lambda: libdrag.watch(
        libdrag.PoolTest(
            "2026-11-25",
            [libdrag.TimedSwim(how, t) for how, t in zip(HOWS, (14.3, 14.6, 14.7, 14.4, 14.7, 14.4))],
            distance_m=25,
        )
    ),
}
HOWS = ["snorkel", "every-2", "every-2", "snorkel", "every-2", "snorkel"]


@pytest.mark.parametrize("name", RESULTS)
def test_a_result_has_a_picture_that_outlives_it(name, tmp_path):
    result = RESULTS[name]()
    picture = result.picture()
    root = ElementTree.fromstring(picture.svg)
    assert root.tag.endswith("svg") and re.search(r"\d", picture.description)
    assert picture.title in repr(picture) and picture._repr_svg_() == str(picture) == picture.svg
    assert picture.svg in picture._repr_html_()
    again = pickle.loads(pickle.dumps(result))
    assert again == result and again.picture() == picture == pickle.loads(pickle.dumps(picture))
    picture.save(tmp_path / "it.svg")
    assert (tmp_path / "it.svg").read_text(encoding="utf-8") == picture.svg
    with pytest.raises(libdrag.InvalidInput, match="exists"):
        picture.save(tmp_path / "it.svg")
    picture.save(tmp_path / "it.svg", overwrite=True)
    with pytest.raises(libdrag.InvalidInput, match="ends in .svg"):
        picture.save(tmp_path / "it.png")


def test_a_picture_is_that_of_the_command(tmp_path):
    RESULTS["cost"]().picture().save(tmp_path / "here.svg")
    words = ["--event", "100 free", "--time", "1:02.40", "--breathe", "every-2", "--hip-drop", "4deg"]
    who = ["--sex", "f", "--height", "172cm", "--mass", "63kg", "--draws", "2000"]
    command = [os.environ["DRAGCALC"], "cost", *words, *who, "--plot", str(tmp_path / "there.svg")]
    subprocess.run(command, check=True, capture_output=True)
    assert (tmp_path / "here.svg").read_bytes() == (tmp_path / "there.svg").read_bytes()


@pytest.mark.parametrize("name, which", [("cost", "passive"), ("drag", "passive"), ("drag", "active")])
def test_doubts_are_the_shares_of_the_result(name, which):
    result = RESULTS[name]()
    because = result.because if name == "cost" else getattr(result, f"because_{which}")
    picture = plot.doubts(result, which=which)
    assert ("cost" if name == "cost" else which) in picture.title
    assert because[0].input in picture.description


def test_a_swimmer_keeps_her_own_incline():
    low = libdrag.Swimmer("Ada", HER, incline_deg=20.0)
    said = [
        [ax.get_title() for ax in plot.level_and_low(who, hip_drop_deg=4).ravel()]
        for who in (low, low.swim, HER)
    ]
    assert said[0] == said[1] != said[2]


# --- silhouettes ------------------------------------------------------------------------------------

POSTURES = [
    ("streamlined", 0),
    ("streamlined", 10),
    ("arms-at-sides", 5),
    ("mid-stroke", 0),
    (libdrag.Posture(leg_angle_deg=30, knee_bend_deg=60, leg_spread_deg=20, roll_deg=25), 12),
]


def pixels_m2(ax):
    """Area that is filled black, counted on an Agg canvas."""
    ax.axis("off")
    for artist in [*ax.lines, *ax.artists, *[p for p in ax.patches if not isinstance(p, PathPatch)]]:
        artist.remove()
    ax.set_title("")
    ax.figure.set_dpi(200)
    ax.set_position([0, 0, 1, 1])
    canvas = FigureCanvasAgg(ax.figure)
    canvas.draw()
    grey = np.asarray(canvas.buffer_rgba())[..., 0].astype(float)
    box = ax.get_window_extent()
    m_per_pixel = np.diff(ax.get_xlim())[0] / box.width
    assert np.diff(ax.get_ylim())[0] / box.height == pytest.approx(m_per_pixel, rel=1e-6)  # to scale
    return np.sum(255.0 - grey) / 255.0 * m_per_pixel**2


@pytest.mark.parametrize("body", [HER, HIM], ids=["she", "he"])
@pytest.mark.parametrize("posture, incline", POSTURES)
def test_front_silhouette_fills_the_projected_area(body, posture, incline):
    ax = plot.silhouette_front(body, incline_deg=incline, posture=posture, ax=new_axes(), facecolor="black")
    area = body.projected_area_m2(incline, posture)
    assert f"{area:.3f} m²" in ax.get_title()
    assert pixels_m2(ax) == pytest.approx(area, rel=0.005)


@pytest.mark.parametrize(
    "posture",
    [
        libdrag.Posture(),
        libdrag.Posture(arms="mid-stroke"),
        libdrag.Posture(leg_angle_deg=30, leg_spread_deg=20),
    ],
)
def test_side_of_a_body_rolled_by_90_degrees_fills_its_planform(posture):
    on_the_side = dataclasses.replace(posture, roll_deg=90)
    ax = plot.silhouette_side(HER, posture=on_the_side, ax=new_axes(), color="black")
    assert pixels_m2(ax) == pytest.approx(HER.posed(posture).planform_area_m2, rel=0.005)


@pytest.mark.parametrize("posture", ["streamlined", "arms-at-sides", "mid-stroke"])
def test_side_silhouette_is_as_long_as_the_body(posture):
    ax = plot.silhouette_side(HER, posture=posture, ax=new_axes())
    x, z = outline(ax).T
    assert x.min() == 0.0
    assert x.max() == pytest.approx(HER.posed(posture).length_m, rel=1e-4)
    assert z.max() == pytest.approx(0.0, abs=1e-12)  # just under the water
    solid = HER.posed(posture).frusta()[0]
    tallest = 2 * np.abs(solid[..., 2, 2]).max()
    assert -z.min() >= 0.98 * tallest


def test_hips_low_tilts_the_silhouette():
    ax = plot.silhouette_side(HER, incline_deg=20, ax=new_axes())
    x, z = outline(ax).T
    assert z[np.argmax(x)] > z[np.argmin(x)] + 0.5  # hands up, feet down, swimming to the right
    assert x.max() == pytest.approx(HER.length_m * np.cos(np.radians(20)), rel=0.02)


def test_depth_of_the_swim_is_seen():
    ax = plot.silhouette_side(libdrag.Swim(HER, depth_m=0.6), ax=new_axes())
    z = outline(ax)[:, 1]
    solid = HER.posed().frusta()[0]
    highest = (solid[..., 0, 2] + np.abs(solid[..., 2, 2])).max()
    assert z.max() == pytest.approx(highest - 0.6, abs=1e-3)
    assert [artist.get_ydata()[0] for artist in ax.lines] == [0.0]


def test_two_bodies_share_one_water_line():
    ax = plot.silhouette_side(HIM, ax=new_axes(), color="0.7", label="he")
    plot.silhouette_side(HER, ax=ax, alpha=0.5, label="she")
    assert len(ax.lines) == 1
    assert [p.get_label() for p in ax.patches if isinstance(p, PathPatch)] == ["he", "she"]
    assert ax.get_xlim()[1] > HIM.length_m


def test_level_and_low_says_what_the_library_says():
    axes = plot.level_and_low(HER, hip_drop_deg=4, axes=new_axes(2, 2))
    own = libdrag.Swim(HER).own_incline_deg()[0]
    level = HER.projected_area_m2(own)
    low = HER.projected_area_m2(own + 4, libdrag.Posture(arm_angle_deg=4))  # the arms stay where they are
    assert low < HER.projected_area_m2(own + 4)
    assert f"{level:.3f} m²" in axes[0, 1].get_title() and f"{low:.3f} m²" in axes[1, 1].get_title()
    assert f"{100 * (low / level - 1):.0f} % more" in axes[1, 1].get_title()
    more = 100 * (libdrag.tilt_ratio(HER, own + 4, own) - 1)
    assert f"drag at the same speed grows by about {more:.2g} %" in texts(axes[1, 0])
    assert f"{100 * HER.shoulder_hip_m * np.sin(np.radians(4)):.2g} cm" in axes[1, 0].get_title()


def test_level_and_low_keeps_the_shoulders_and_drops_the_hips():
    axes = plot.level_and_low(HER, incline_deg=6, hip_drop_deg=5, axes=new_axes(2, 2))
    trunks = [ax.lines[-1].get_xydata() for ax in axes[:, 0]]
    assert trunks[0][1] == pytest.approx(trunks[1][1])
    want = HER.shoulder_hip_m * (np.sin(np.radians(11)) - np.sin(np.radians(6)))
    assert trunks[0][0, 1] - trunks[1][0, 1] == pytest.approx(want)
    # The trunk lies in the body, and the grey body is the upper one.
    side = axes[1, 0]
    assert all(body_drawn(side).contains_points(trunks[1]))
    assert outline(side, 0) == pytest.approx(outline(axes[0, 0]))
    assert outline(axes[0, 0])[:, 1].max() == pytest.approx(0.0, abs=1e-12)
    assert axes[0, 0].get_xlim() == axes[1, 0].get_xlim() and axes[0, 0].get_ylim() == axes[1, 0].get_ylim()


def side_corners(**kwargs):
    return outline(plot.silhouette_side(HER, incline_deg=8, ax=new_axes(), **kwargs))


@pytest.mark.parametrize("posture", ["streamlined", libdrag.Posture(arms="mid-stroke", arm_angle_deg=8)])
def test_low_hips_sink_and_arms_stay(posture):
    up, low = (side_corners(hip_drop_deg=drop, posture=posture) for drop in (0, 12))
    hands_up, hands_low = (corners[np.argmax(corners[:, 0])] for corners in (up, low))
    assert hands_low == pytest.approx(
        hands_up, abs=0.02
    )  # common practice: head up, hips down, arms in front
    toes_up, toes_low = (corners[np.argmin(corners[:, 0])] for corners in (up, low))
    assert toes_low[1] < toes_up[1] - 0.25
    assert low[:, 1].max() < 0.05  # nothing is lifted far out of the water by it


def test_low_hips_take_arms_at_the_sides_along():
    drawn = side_corners(hip_drop_deg=12, posture="arms-at-sides")
    as_one = outline(plot.silhouette_side(HER, incline_deg=20, posture="arms-at-sides", ax=new_axes()))
    assert np.ptp(drawn[:, 1]) == pytest.approx(np.ptp(as_one[:, 1]), rel=1e-9)


def test_a_lifted_head_comes_up_from_shoulders_that_stay():
    straight = libdrag.Posture(arms="mid-stroke", arm_angle_deg=8)
    lifted = dataclasses.replace(straight, head_lift_deg=20)
    line, breath = side_corners(posture=straight), side_corners(posture=lifted)
    assert line[:, 1].max() == pytest.approx(0.0, abs=1e-12) and breath[:, 1].max() > 0.03
    toes = [corners[np.argmin(corners[:, 0])] for corners in (line, breath)]
    assert toes[0] == pytest.approx(toes[1])


# --- where a picture has to stand -------------------------------------------------------------------


@pytest.mark.parametrize("name", [*ONE, *SEVERAL])
def test_lines_are_seen_on_a_dark_background(name):
    """Contrast of lines to what they lie on of at least 2 to 1, as WCAG 2.1 computes it."""

    def luminance(colour):
        rgb = np.array(matplotlib.colors.to_rgb(colour))
        return np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4) @ [
            0.2126,
            0.7152,
            0.0722,
        ]

    with pyplot.style.context("dark_background"):
        drawn = ONE[name](new_axes()) if name in ONE else SEVERAL[name][1](new_axes(*SEVERAL[name][0]))
        for ax in np.ravel(np.asarray(drawn, dtype=object)):
            behind = luminance(ax.get_facecolor())
            assert behind < 0.01
            for artist in ax.lines:
                assert (luminance(artist.get_color()) + 0.05) / (behind + 0.05) > 2, artist.get_label()
            for patch in ax.patches:  # spans behind the lines stay dark
                if not isinstance(patch, PathPatch) and patch.get_zorder() <= 0:
                    assert patch.get_alpha() * luminance(patch.get_facecolor()) < 0.1


@pytest.mark.parametrize("name", list(ONE))
def test_a_narrow_column_holds_the_text(name):
    figure = Figure(figsize=(3.4, 3.0), layout="constrained")
    FigureCanvasAgg(figure)
    ONE[name](figure.subplots())
    no_clipped_text(figure)


# --- bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "error, call",
    [
        (TypeError, lambda: plot.doubts(HER)),
        (libdrag.InvalidInput, lambda: plot.doubts(libdrag.drag(HER, 1.5, draws=100), which="both")),
        (libdrag.InvalidInput, lambda: plot.silhouette_side(HER, incline_deg=80)),
        (libdrag.UnknownKey, lambda: plot.silhouette_front(HER, posture="folded")),
        (AttributeError, lambda: plot.silhouette_front(HER, ax=new_axes(), flavour=3)),
        (libdrag.InvalidInput, lambda: plot.level_and_low(HER, hip_drop_deg=-4)),
        (libdrag.InvalidInput, lambda: plot.level_and_low(HER, incline_deg=50, hip_drop_deg=40)),
        (libdrag.InvalidInput, lambda: plot.level_and_low(HER, axes=new_axes(2))),
    ],
)  # fmt: skip
def test_bad_input_raises_the_librarys_errors(error, call, untouched):
    with pytest.raises(error) as raised:
        call()
    pythons_own = error is AttributeError or "keyword argument" in str(raised.value)
    assert pythons_own or error is libdrag.UnknownKey or re.search("got .*; allowed: .", str(raised.value))


# --- sliders ----------------------------------------------------------------------------------------


def test_slider_without_widgets_draws_three_pictures(monkeypatch):
    """Outside a notebook: the first value in the middle, both ends of the first range above and below it."""
    drawn = []
    monkeypatch.setattr(pyplot, "show", lambda: None)
    plot.slider(lambda ax, a, b: drawn.append((ax, a, b)), a=(0.0, 8.0, 4.0), b=(1.0, 3.0, 2.0))
    assert [(a, b) for _, a, b in drawn] == [(0.0, 2.0), (4.0, 2.0), (8.0, 2.0)]
    assert len({id(ax) for ax, _, _ in drawn}) == 3
    pyplot.close("all")


@pytest.mark.parametrize("ranges", [{}, {"a": (0.0, 1.0)}, {"a": (0.0, 1.0, 2.0)}])
def test_slider_refuses_what_is_no_range(ranges):
    with pytest.raises(libdrag.InvalidInput):
        plot.slider(lambda ax, **numbers: None, **ranges)
