"""The pictures: what they show is what the library says, whichever face asks."""

import os
import pickle
import re
import subprocess
import sys
import types
from xml.etree import ElementTree

import matplotlib

matplotlib.use("Agg")

import pytest  # noqa: E402
from matplotlib import pyplot  # noqa: E402

import libdrag  # noqa: E402

plot = libdrag.plot
HER = libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)
HIM = libdrag.Body(sex="m", stature_m=1.88, mass_kg=82)
RACE = {"event": "100 free", "time_s": 62.40, "breathe": "every-2", "draws": 2000}
WHO = ["--sex", "f", "--height", "172cm", "--mass", "63kg", "--draws", "2000"]
ASKED = ["--event", "100 free", "--time", "1:02.40", "--breathe", "every-2", "--hip-drop", "4deg", *WHO]


def dragcalc(*arguments):
    done = subprocess.run([os.environ["DRAGCALC"], *arguments], capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


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
    dragcalc("cost", *ASKED, "--plot", str(tmp_path / "there.svg"))
    assert (tmp_path / "here.svg").read_bytes() == (tmp_path / "there.svg").read_bytes()


@pytest.mark.parametrize("name, which", [("cost", "passive"), ("drag", "passive"), ("drag", "active")])
def test_doubts_are_the_shares_of_the_result(name, which):
    result = RESULTS[name]()
    because = result.because if name == "cost" else getattr(result, f"because_{which}")
    picture = plot.doubts(result, which=which)
    assert ("cost" if name == "cost" else which) in picture.title
    assert because[0].input in picture.description


# --- bodies -----------------------------------------------------------------------------------------

POSTURES = [
    ("streamlined", 0),
    ("streamlined", 10),
    ("arms-at-sides", 5),
    ("mid-stroke", 0),
    (libdrag.Posture(leg_angle_deg=30, knee_bend_deg=60, leg_spread_deg=20, roll_deg=25), 12),
]


@pytest.mark.parametrize("body", [HER, HIM], ids=["she", "he"])
@pytest.mark.parametrize("posture, incline", POSTURES)
def test_the_front_says_the_projected_area(body, posture, incline):
    """What `drawing_test.cpp` counts in the picture is what the body's own call gives."""
    front = libdrag.draw(libdrag.Swim(body, incline_deg=incline), posture=posture, view="front")
    said = float(re.search(r"level ([\d.]+) m2", front.description)[1])
    # Half a digit, and an outline of so many corners is smaller by 0.16 %.
    assert said == pytest.approx(body.projected_area_m2(incline, posture), rel=0, abs=0.0007)


def test_a_body_is_drawn_as_it_is_held_and_as_it_swims():
    own = libdrag.Swimmer("Ada", HER, incline_deg=20.0)
    drawn = {
        who: libdrag.draw(x, hip_drop_deg=4).svg
        for who, x in (("file", own), ("swim", own.swim), ("body", HER))
    }
    assert drawn["file"] == drawn["swim"] != drawn["body"] and "Ada" in drawn["file"]
    sides = [libdrag.draw(HER, posture=arms, view="side").svg for arms in (None, "streamlined", "mid-stroke")]
    assert sides[0] == sides[2] != sides[1]  # crawl at its breath
    held = libdrag.Swim(HER, posture="arms-at-sides")
    assert libdrag.draw(held, view="side") == libdrag.draw(HER, posture="arms-at-sides", view="side")


def test_a_depth_is_the_angle_it_makes():
    drop = libdrag.cost(HER, hip_drop_m=0.06, **RACE).hip_drop_deg
    assert "6.0 cm" in libdrag.draw(HER, hip_drop_m=0.06, view="side").description
    said = libdrag.draw(HER, hip_drop_m=0.06, view="side").title
    assert said == libdrag.draw(HER, hip_drop_deg=drop, view="side").title
    assert "head" in libdrag.draw(HER, head_lift_m="6cm", view="side").title


def test_views_are_parts_of_the_whole():
    both, side, front = (libdrag.draw(HER, hip_drop_deg=4, view=view) for view in ("both", "side", "front"))
    assert side.description in both.description and front.description in both.description
    assert "from the front" not in side.svg and "dashed" not in front.description


def test_the_fault_of_a_cost_is_the_picture_on_the_card(tmp_path):
    """Of `cost`, of `card` and of the command line: the same bytes."""
    result = libdrag.cost(HER, hip_drop_deg=4, **RACE)
    dragcalc("card", *ASKED, "--out", str(tmp_path / "there.svg"))
    there = (tmp_path / "there.svg").read_text(encoding="utf-8")
    assert libdrag.draw(result).svg == there
    assert libdrag.card(HER, hip_drop_deg=4, **RACE).svg == there
    for view in ("side", "front"):
        assert libdrag.draw(pickle.loads(pickle.dumps(result)), view=view) == libdrag.draw(result, view=view)
    assert "over the race" in libdrag.draw(result, view="front").svg


@pytest.mark.parametrize(
    "error, call",
    [
        (TypeError, lambda: plot.doubts(HER)),
        (libdrag.InvalidInput, lambda: plot.doubts(libdrag.drag(HER, 1.5, draws=100), which="both")),
        (libdrag.UnknownKey, lambda: libdrag.draw(HER, posture="folded")),
        (libdrag.InvalidInput, lambda: libdrag.draw(HER, hip_drop_deg=-4)),
        (libdrag.InvalidInput, lambda: libdrag.draw(libdrag.Swim(HER, incline_deg=50), hip_drop_deg=40)),
        (libdrag.InvalidInput, lambda: libdrag.draw(HER, hip_drop_deg=4, hip_drop_m=0.06)),
        (libdrag.InvalidInput, lambda: libdrag.draw(HER, view="above")),
        (libdrag.InvalidInput, lambda: libdrag.draw(libdrag.cost(HER, hip_drop_deg=4, **RACE), view="above")),
        (libdrag.InvalidInput, lambda: libdrag.draw(libdrag.cost(HER, hip_drop_deg=4, **RACE), hip_drop_deg=4)),
        (TypeError, lambda: libdrag.draw("Mara")),
    ],
)  # fmt: skip
def test_bad_input_raises_the_librarys_errors(error, call):
    with pytest.raises(error) as raised:
        call()
    assert error is libdrag.UnknownKey or re.search("got .*; allowed: .", str(raised.value))


# --- sliders ----------------------------------------------------------------------------------------


def test_slider_without_widgets_draws_three_pictures(monkeypatch):
    """Outside a notebook: the first value in the middle, both ends of the first range above and below it."""
    drawn = []
    monkeypatch.setattr(pyplot, "show", lambda: None)
    plot.slider(lambda ax, a, b: drawn.append((ax, a, b)), a=(0.0, 8.0, 4.0), b=(1.0, 3.0, 2.0))
    assert [(a, b) for _, a, b in drawn] == [(0.0, 2.0), (4.0, 2.0), (8.0, 2.0)]
    assert len({id(ax) for ax, _, _ in drawn}) == 3
    pyplot.close("all")


def shown_by(monkeypatch):
    """What is displayed, in a list; IPython need not be installed."""
    shown = []
    display = types.SimpleNamespace(display=shown.append)
    monkeypatch.setitem(sys.modules, "IPython.display", display)
    return shown


def low(hip_drop_deg):
    return libdrag.draw(HER, hip_drop_deg=hip_drop_deg, view="side")


def test_slider_without_widgets_shows_three_pictures_of_the_library(monkeypatch):
    shown = shown_by(monkeypatch)
    plot.slider(low, hip_drop_deg=(0.0, 8.0, 4.0))
    assert shown == [low(0.0), low(4.0), low(8.0)]


def test_slider_moves_the_librarys_picture(monkeypatch):
    """What ipywidgets shows is what the function gives, for the numbers of the sliders."""
    asked = []
    slider = types.SimpleNamespace
    widgets = types.SimpleNamespace(
        FloatSlider=slider, interact=lambda f, **sliders: asked.append((f, sliders))
    )
    monkeypatch.setattr(plot, "_live_widgets", lambda: widgets)
    plot.slider(low, hip_drop_deg=(0.0, 8.0, 4.0))
    ((shown, sliders),) = asked
    assert (sliders["hip_drop_deg"].min, sliders["hip_drop_deg"].max, sliders["hip_drop_deg"].value) == (
        0.0,
        8.0,
        4.0,
    )
    assert shown(hip_drop_deg=7.0) == low(7.0) != low(4.0)


@pytest.mark.parametrize("ranges", [{}, {"a": (0.0, 1.0)}, {"a": (0.0, 1.0, 2.0)}])
def test_slider_refuses_what_is_no_range(ranges):
    with pytest.raises(libdrag.InvalidInput):
        plot.slider(lambda ax, **numbers: None, **ranges)
