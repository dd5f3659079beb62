"""The pictures: what they show is what the library says, on the axes given, and nothing else is touched."""

import dataclasses
import io
import re

import matplotlib

matplotlib.use("Agg")

import numpy as np  # noqa: E402
import pytest  # noqa: E402
from matplotlib import pyplot  # noqa: E402
from matplotlib.backends.backend_agg import FigureCanvasAgg  # noqa: E402
from matplotlib.figure import Figure  # noqa: E402
from matplotlib.patches import PathPatch  # noqa: E402
from matplotlib.text import Text  # noqa: E402

import libdrag  # noqa: E402

plot = libdrag.plot
HER = libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)
HIM = libdrag.Body(sex="m", stature_m=1.88, mass_kg=82)
RACE = {"event": "100 free", "time_s": 62.40, "breathe": "every-2", "draws": 2000}
EVIDENCE = libdrag.evidence()
FLY = libdrag.Swim(HIM, stroke="fly", incline_deg=12)
BREAST = libdrag.Swim(HER, stroke="breast")

ONE = {
    "cost": lambda ax: plot.cost_against_angle(HER, drops_deg=[0, 2, 4], ax=ax, **RACE),
    "drag": lambda ax: plot.drag_against_speed(HER, speeds_m_s=[1.0, 1.5, 2.0], ax=ax),
    "area": lambda ax: plot.area_against_incline(HER, inclines_deg=[0, 5, 10, 20], ax=ax),
    "evidence": lambda ax: plot.evidence(EVIDENCE, ax=ax),
    "doubts": lambda ax: plot.doubts(libdrag.drag(HER, 1.5, draws=500), ax=ax),
    "side": lambda ax: plot.silhouette_side(HER, incline_deg=10, ax=ax),
    "front": lambda ax: plot.silhouette_front(HER, incline_deg=10, ax=ax),
}
SEVERAL = {
    "stroke": ((2, 1), lambda axes: plot.stroke_cycle(HER, 1.6, hip_drop_deg=4, draws=100, axes=axes)),
    "level_and_low": ((2, 2), lambda axes: plot.level_and_low(HER, axes=axes)),
}


def new_axes(*shape):
    """Axes of a figure that pyplot knows nothing of."""
    figure = Figure(figsize=(8, 6))
    FigureCanvasAgg(figure)
    return figure.subplots(*shape)


def line(ax, label):
    (found,) = [artist for artist in ax.lines if str(artist.get_label()).startswith(label)]
    return np.asarray(found.get_xdata(), dtype=float), np.asarray(found.get_ydata(), dtype=float)


def band(ax, label):
    """Lower and upper edge of a filled band by its abscissae."""
    (found,) = [artist for artist in ax.collections if str(artist.get_label()).startswith(label)]
    x, y = found.get_paths()[0].vertices.T
    return {a: (y[np.isclose(x, a)].min(), y[np.isclose(x, a)].max()) for a in np.unique(x)}


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
        ("cost", "(°)", "(s)"),
        ("drag", "(m/s)", "(N)"),
        ("area", "(°)", "(m²)"),
        ("evidence", "(m², N, kg/m, m, s, or a ratio)", "(m², N, kg/m, m, s, or a ratio)"),
        ("doubts", "(%)", ""),
        ("side", "(m)", "(m)"),
        ("front", "(m)", "(m)"),
    ],
)
def test_axes_carry_units(name, x, y):
    ax = ONE[name](new_axes())
    assert x in ax.get_xlabel() and y in ax.get_ylabel()


def test_lines_differ_by_style_as_well_as_by_colour():
    styles = [repr(artist._unscaled_dash_pattern) for artist in ONE["area"](new_axes()).lines]
    colours = [artist.get_color() for artist in ONE["area"](new_axes()).lines]
    widths = [artist.get_linewidth() for artist in ONE["area"](new_axes()).lines]
    assert len(set(zip(styles, widths))) == len(styles) == 6
    # Okabe & Ito 2008.
    assert set(colours) <= {
        "#000000",
        "#E69F00",
        "#56B4E9",
        "#009E73",
        "#F0E442",
        "#0072B2",
        "#D55E00",
        "#CC79A7",
    }
    assert len(set(colours)) == 6


# --- seconds ----------------------------------------------------------------------------------------


def test_cost_lines_and_bands_are_the_librarys_costs():
    ax = plot.cost_against_angle(HER, drops_deg=[6, 0, 4, 2], ax=new_axes(), **RACE)
    one = libdrag.cost(HER, hip_drop_deg=4, **RACE)
    x, y = line(ax, "median")
    assert x == pytest.approx([0, 2, 4, 6])
    assert y[2] == one.median
    assert band(ax, "95 % range of 2,000 draws")[x[2]] == (one.low, one.high)
    half = libdrag.interval(one.draws, level=0.5)
    assert band(ax, "50 % range")[x[2]] == (half.low, half.high)
    assert np.quantile(one.draws, [0.25, 0.75]) == pytest.approx(half[1:3], rel=0.01)
    largest = libdrag.cost(HER, hip_drop_deg=6, **RACE).per_degree_s
    assert float(ax.get_title().split("about ")[1].split()[0]) == pytest.approx(largest.median, abs=0.005)
    assert "1:02.40" in ax.get_title()


def test_cost_of_another_level_says_so():
    ax = plot.cost_against_angle(HER, drops_deg=["0deg", "6cm"], ax=new_axes(), **{**RACE, "level": 0.8})
    one = libdrag.cost(HER, hip_drop_m="6cm", **{**RACE, "level": 0.8})
    x, y = line(ax, "median")
    assert x[-1] == pytest.approx(one.hip_drop_deg, rel=1e-12)
    assert y[-1] == pytest.approx(one.median, rel=0.02)  # the drop's uncertainty was given in other words
    assert band(ax, "80 % range")


def test_cost_of_hips_held_low_says_so():
    ax = plot.cost_against_angle(
        HER, drops_deg=[1, 2], when="always", event="100 back", time_s=70, ax=new_axes()
    )
    assert "held all the time" in ax.get_xlabel()


def test_a_swimmer_keeps_her_own_incline():
    low = libdrag.Swimmer("Ada", HER, incline_deg=20.0)
    said = [
        [ax.get_title() for ax in plot.level_and_low(who, hip_drop_deg=4).ravel()]
        for who in (low, low.swim, HER)
    ]
    assert said[0] == said[1] != said[2]


def test_cautions_stand_under_the_costs():
    ax = plot.cost_against_angle(HER, drops_deg=[1, 4, 6, 9], ax=new_axes(), **{**RACE, "breathe": "every-7"})
    costs = libdrag.cost(HER, hip_drop_deg=[1, 4, 6, 9], **{**RACE, "breathe": "every-7"})
    few_breaths = [sentence for sentence in costs.cautions if "breath" in sentence]
    assert few_breaths and all(sentence in texts(ax) for sentence in few_breaths)
    # One sentence for all drops that reach beyond what was measured, that of the largest.
    assert texts(ax).count("extrapolated") == 1
    assert libdrag.cost(HER, hip_drop_deg=9, **RACE).cautions[0] in texts(ax)
    assert not plot.cost_against_angle(HER, drops_deg=[1, 4], ax=new_axes(), **RACE).texts


# --- drag and area ----------------------------------------------------------------------------------


def test_drag_is_stacked_to_the_total():
    speeds = np.linspace(0.9, 2.1, 61)
    ax = plot.drag_against_speed(HER, speeds_m_s=speeds, incline_deg=5, depth_m=0.3, ax=new_axes())
    drag = libdrag.passive_drag(HER, speeds, 5, 0.3)
    x, total = line(ax, "total")
    assert x == pytest.approx(speeds) and total == pytest.approx(drag.total_N)
    bottom = np.zeros_like(speeds)
    for name, part in (("friction", drag.friction_N), ("pressure", drag.pressure_N), ("waves", drag.wave_N)):
        edges = np.array([*band(ax, name).values()])
        assert edges[:, 0] == pytest.approx(bottom) and edges[:, 1] == pytest.approx(bottom + part)
        bottom = bottom + part
    assert bottom == pytest.approx(drag.total_N, rel=1e-12)
    x, low = line(ax, "95 % range of the total, 20,000 draws")
    assert 2 <= len(x) <= 25
    assert low[[0, -1]] == pytest.approx(drag.low_N[[0, -1]])


def test_drag_takes_the_swims_own_incline_and_depth():
    swim = libdrag.Swim(HER, incline_deg=6, depth_m=0.4)
    ax = plot.drag_against_speed(swim, speeds_m_s=[1.0, 2.0], ax=new_axes())
    assert line(ax, "total")[1] == pytest.approx(libdrag.passive_drag(swim, [1.0, 2.0]).total_N, rel=1e-12)
    assert "6°" in ax.get_title() and "0.4 m deep" in ax.get_title()
    towed = plot.drag_against_speed(HER, speeds_m_s=[1.0, 2.0], ax=new_axes())
    assert line(towed, "total")[1] == pytest.approx(libdrag.passive_drag(HER, [1.0, 2.0]).total_N, rel=1e-12)
    assert "as towed" in towed.get_title()


def test_drag_beyond_what_was_measured_is_marked():
    marked = plot.drag_against_speed(HER, speeds_m_s=np.linspace(0.5, 3, 26), ax=new_axes())
    labels = [text.get_text() for text in marked.get_legend().get_texts()]
    assert "beyond what was measured: extrapolated" in labels
    spans = [patch.get_xy()[:, 0] for patch in marked.patches]
    valid = libdrag.passive_drag(HER, np.linspace(0.5, 3, 26)).within_validity
    assert len(spans) == np.count_nonzero(~valid)
    within = plot.drag_against_speed(HER, speeds_m_s=np.linspace(0.8, 2.3, 26), ax=new_axes())
    assert not within.patches


@pytest.mark.parametrize("posture", [None, "arms-at-sides"])
def test_area_and_what_the_tilt_models_make_of_it(posture):
    inclines = np.array([0.0, 4.0, 8.0, 12.0, 20.0])
    ax = plot.area_against_incline(HER, inclines_deg=inclines, posture=posture, ax=new_axes())
    area = HER.projected_area_m2(inclines, posture)
    assert line(ax, "projected area")[1] == pytest.approx(area, rel=1e-12)
    swim = libdrag.Swim(HER, posture=posture)
    lines = {
        "projected": "in proportion",
        "damped": "damped",
        "slope": "slope",
        "crossflow": "cross-flow",
        "blend": "blend",
    }
    for model, label in lines.items():
        ratio = libdrag.tilt_ratio(swim, inclines, 0, model=model)
        assert line(ax, label)[1] == pytest.approx(area[0] * ratio, rel=1e-12)
    assert line(ax, "in proportion")[1] == pytest.approx(area, rel=2e-4)
    # Measured to 15 degrees: Passmore & Rickers 2002.
    assert max(patch.get_xy()[:, 0].max() for patch in ax.patches) == 15.0


def test_right_hand_axis_is_the_ratio_to_the_level_body():
    ax = plot.area_against_incline(HER, ax=new_axes())
    ax.figure.canvas.draw()
    (right,) = ax.child_axes
    assert right.get_ylim()[1] * HER.projected_area_m2() == pytest.approx(ax.get_ylim()[1], rel=1e-9)


# --- within the stroke ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "who, breathe, cycles",
    [(HER, None, 1), (HER, "every-3", 3), (HER, "every-4", 2), (FLY, None, 1), (BREAST, None, 1)],
)
def test_stroke_draws_the_motions(who, breathe, cycles):
    above, below = plot.stroke_cycle(who, 1.5, hip_drop_deg=5, breathe=breathe, draws=100, axes=new_axes(2))
    result = libdrag.stroke(who, 1.5, hip_drop_deg=5, breathe=breathe, draws=100)
    t, v = line(below, "breath")
    assert np.array_equal(t, result.with_breath.t_s) and np.array_equal(v, result.with_breath.v_m_s)
    t, v = line(below, "no breath")
    assert t[-1] == pytest.approx(cycles * result.without.period_s) and t[-1] == pytest.approx(
        result.with_breath.period_s
    )
    n = len(result.without.t_s) - 1
    assert len(t) == cycles * n + 1
    assert all(np.array_equal(v[i * n : i * n + n], result.without.v_m_s[:-1]) for i in range(cycles))
    drop = above.lines[1].get_ydata()
    assert 0 <= drop.min() and drop.max() == pytest.approx(5, rel=1e-3)
    low, high = above.get_ylim()
    assert low > high  # down in the picture is down in the water
    assert "assumption" in texts(below)


def drag_through_the_cycle(stroke, t):
    """Over its mean, with no breath: as silhouettes go in butterfly and breaststroke (Gatta et al. 2015), highest when
    the arms enter, or half-way between pull and kick, by the published rows."""
    if stroke in ("crawl", "back"):
        return np.ones_like(t)
    table = libdrag.sources()
    first, width, mean_over_minimum, between = (
        table[f"stroke.{key}"].value
        for key in (
            f"pulse_width.{stroke}",
            "drag_width",
            f"drag_mean_over_minimum.{stroke}",
            f"second_after.{stroke}",
        )
    )
    highest = 0.5 * first + (0 if stroke == "fly" else 0.5 * between)
    x = ((t - highest + 0.5) % 1 - 0.5) / width
    pulse = np.where(abs(x) < 0.5, 0.5 + 0.5 * np.cos(2 * np.pi * x), 0)
    return (1 + 2 * (mean_over_minimum - 1) / width * pulse) / mean_over_minimum


@pytest.mark.parametrize(
    "who, breathe",
    [
        (HER, "every-2"),
        (HER, "every-3"),
        (FLY, "every-1"),
        (BREAST, "every-1"),
        (libdrag.Swim(HER, coefficients={"stroke.breath_lag": 0.3}), "every-4"),
    ],
)
def test_hip_drop_in_the_picture_is_that_of_the_motion(who, breathe):
    """Drag worked back from the two speed curves is that of the hip drop drawn above them."""
    above, _ = plot.stroke_cycle(
        who, 1.5, hip_drop_deg=5, breathe=breathe, effort="thrust", draws=100, axes=new_axes(2)
    )
    result = libdrag.stroke(who, 1.5, hip_drop_deg=5, breathe=breathe, effort="thrust", draws=100)
    without, breath = result.without, result.with_breath
    cycles = round(breath.period_s / without.period_s)
    swim = who if isinstance(who, libdrag.Swim) else libdrag.Swim(who)
    body = swim.body
    mass = body.mass_kg + libdrag.swimmer_added_mass_kg(body.mass_kg, body.sex).value
    k = libdrag.active_drag(who, 1.5).k_kg_m
    k_without, k_breath = (
        k * drag_through_the_cycle(swim.stroke, 0.5 * (m.t_s[1:] + m.t_s[:-1]) / without.period_s)
        for m in (without, breath)
    )

    def inertia_and_square(motion):
        v = motion.v_m_s
        return (
            mass * np.diff(v) / np.diff(motion.t_s),
            v[1:] * v[:-1],
        )  # the product is exact for constant thrust

    pull, square = inertia_and_square(without)
    thrust = np.tile(pull + k_without * square, cycles)  # at equal thrust the same pulls
    pull, square = inertia_and_square(breath)
    ratio = (thrust - pull) / square / k_breath
    drop = above.lines[1].get_ydata()
    own = swim.own_incline_deg()[0]
    want = libdrag.tilt_ratio(who, own + 0.5 * (drop[1:] + drop[:-1]), own)
    assert ratio.max() > 1.05
    assert ratio == pytest.approx(want, abs=0.01)
    # A twentieth of a cycle later would show.
    later = np.roll(want, len(want) // cycles // 20)
    assert np.max(np.abs(ratio - later)) > 0.01


def test_stroke_without_a_breath():
    above, below = plot.stroke_cycle(HER, 1.5, hip_drop_deg=5, breathe="never", draws=100, axes=new_axes(2))
    assert len(above.lines) == len(below.lines) == 1
    assert "without a breath" in above.get_title()


def test_stroke_in_a_figure_of_its_own_shares_time_alone():
    above, below = plot.stroke_cycle(HER, 1.5, hip_drop_deg=5, draws=100)
    pyplot.close(above.figure)
    assert above.get_xlim() == below.get_xlim()
    assert above.get_ylim()[0] > 5 > 0 > above.get_ylim()[1]
    assert below.get_ylim()[0] < below.get_ylim()[1]


def test_stroke_says_what_is_lost():
    _, below = plot.stroke_cycle(HER, 1.5, hip_drop_deg=5, draws=100, axes=new_axes(2))
    lost = -100 * libdrag.stroke(HER, 1.5, hip_drop_deg=5, draws=100).full.median
    assert f"Mean speed lost: {lost:.2g}" in texts(below)


# --- evidence and doubts ----------------------------------------------------------------------------


def test_evidence_draws_every_row_once():
    ax = plot.evidence(EVIDENCE, ax=new_axes())
    assert ax.get_xscale() == ax.get_yscale() == "log"
    drawn, kinds = [], {}
    for container in ax.containers:
        points = container.lines[0]
        drawn += list(zip(points.get_xdata(), points.get_ydata()))
        kinds[container.get_label().split(" (")[0]] = len(points.get_xdata())
    rows = [row for row in EVIDENCE.rows if min(row.measured, row.predicted) > 0]
    assert sorted(drawn) == sorted((row.measured, row.predicted) for row in rows)
    assert kinds["swimmers"] == sum(r.kind == "swimmer" and r.inside for r in rows)
    assert kinds["computed bodies"] == sum(r.kind == "computed" and r.inside for r in rows)
    assert kinds["outside the range"] == sum(not r.inside for r in rows)
    for row in EVIDENCE.rows:
        if row not in rows:
            assert row.id in texts(ax)
        else:
            assert (row.id in texts(ax)) == (not row.inside)
    inside = sum(row.inside for row in EVIDENCE.rows)
    assert f"{inside} of {len(EVIDENCE.rows)} measurements" in ax.get_title().replace("\n", " ")


def test_evidence_bars_are_the_intervals():
    ax = plot.evidence(EVIDENCE, ax=new_axes())
    ends = {}
    for container in ax.containers:
        points = container.lines[0]
        (upright,) = [
            bars
            for bars in container.lines[2]
            if all(s[0][0] == s[1][0] and s[0][1] != s[1][1] for s in bars.get_segments())
        ] or [None]
        for (x, y), segment in zip(zip(points.get_xdata(), points.get_ydata()), upright.get_segments()):
            ends[x, y] = segment[:, 1]
    for row in EVIDENCE.rows:
        if min(row.measured, row.low) > 0 and row.low > ax.get_ylim()[0]:
            assert ends[row.measured, row.predicted] == pytest.approx([row.low, row.high], rel=1e-9)


@pytest.mark.parametrize("size", [(5, 5), (7.2, 6.9), (10, 7)])
def test_evidence_names_do_not_touch(size):
    figure = Figure(figsize=size, layout="constrained")
    canvas = FigureCanvasAgg(figure)
    ax = plot.evidence(EVIDENCE, ax=figure.subplots())
    canvas.draw()
    misses = {row.id: row for row in EVIDENCE.rows if not row.inside}
    names = [text for text in ax.texts if text.get_text() in misses]
    assert len(names) == len(misses) >= 2
    boxes = [Text.get_window_extent(name, canvas.get_renderer()) for name in names]  # without their lines
    for i, box in enumerate(boxes):
        assert not any(box.overlaps(other) for other in boxes[:i])
        points = [ax.transData.transform((r.measured, r.predicted)) for r in EVIDENCE.rows if r.measured > 0]
        assert not any(box.contains(*point) for point in points)


def test_doubts_are_the_shares_of_the_result():
    result = libdrag.cost(HER, hip_drop_deg=4, **RACE)
    ax = plot.doubts(result, ax=new_axes())
    names = [label.get_text().replace("\n", " ") for label in ax.get_yticklabels()]
    widths = dict(zip(names, [bar.get_width() for container in ax.containers for bar in container]))
    for because in result.because[:3]:
        assert widths[because.input] == pytest.approx(100 * because.share, rel=1e-12)
    assert list(widths)[0] == result.because[0].input
    assert widths["several of them together"] == pytest.approx(100 * max(0, result.in_combination), abs=1e-9)
    assert sum(widths.values()) == pytest.approx(100, rel=1e-9)
    low, high = ax.get_ylim()
    assert low > high  # the largest on top


def test_doubts_of_a_drag_sum_inputs_of_one_name():
    result = libdrag.drag(HER, 1.5, draws=2000)
    for which in ("passive", "active"):
        because = getattr(result, f"because_{which}")
        ax = plot.doubts(result, which=which, ax=new_axes())
        names = [label.get_text().replace("\n", " ") for label in ax.get_yticklabels()]
        assert len(set(names)) == len(names)
        widths = dict(zip(names, [bar.get_width() for container in ax.containers for bar in container]))
        share = sum(c.share for c in because if c.input == names[0])
        assert widths[names[0]] == pytest.approx(100 * share, rel=1e-12)
        assert f"{which} drag" in ax.get_title()


def test_doubts_of_an_aid():
    effect = libdrag.aids(HER, 1.5, libdrag.DragShorts(), hip_drop_deg=3, draws=500).effects[0]
    ax = plot.doubts(effect, ax=new_axes())
    assert ax.get_yticklabels()[0].get_text().replace("\n", " ") == effect.because[0].input
    assert "breath" in ax.get_title()


def test_doubts_of_a_model_of_ones_own():
    result = libdrag.propagate(
        lambda x: x["a"] + 2 * x["b"], {"a": libdrag.Input.normal(0, 1), "b": libdrag.Input.normal(0, 1)}
    )
    ax = plot.doubts(result, ax=new_axes())
    widths = [bar.get_width() for container in ax.containers for bar in container]
    # Variances 4 and 1.
    assert widths[:2] == pytest.approx([80, 20], abs=3)


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


@pytest.mark.parametrize("name", [*ONE, "stroke"])
def test_a_narrow_column_holds_the_text(name):
    figure = Figure(figsize=(3.4, 3.0 if name in ONE else 4.8), layout="constrained")
    FigureCanvasAgg(figure)
    if name in ONE:
        ax = ONE[name](figure.subplots())
    else:
        _, ax = SEVERAL[name][1](figure.subplots(2, 1, sharex=True))
    no_clipped_text(figure)
    if ax.get_legend():
        box = ax.get_legend().get_window_extent(figure.canvas.get_renderer())
        assert box.x0 >= ax.bbox.x0 and box.x1 <= ax.bbox.x1 + 1


# --- bad input --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "error, call",
    [
        (libdrag.InvalidInput, lambda: plot.cost_against_angle(HER, drops_deg=[2, -1], **RACE)),
        (libdrag.InvalidInput, lambda: plot.cost_against_angle(HER, drops_deg=[2], **RACE)),
        (libdrag.InvalidInput, lambda: plot.cost_against_angle(HER, drops_deg=3, **RACE)),
        (libdrag.InvalidInput, lambda: plot.cost_against_angle(HER, **{**RACE, "time_s": [60, 61]})),
        (libdrag.InvalidInput, lambda: plot.cost_against_angle([HER, HIM], **RACE)),
        (libdrag.InvalidInput, lambda: plot.cost_against_angle(HER, hip_drop_m=0.1, **RACE)),
        (libdrag.UnknownKey, lambda: plot.cost_against_angle(HER, **{**RACE, "event": "100 dog"})),
        (TypeError, lambda: plot.cost_against_angle(HER, hip_drop_deg=4, **RACE)),
        (TypeError, lambda: plot.cost_against_angle("her", **RACE)),
        (TypeError, lambda: plot.cost_against_angle(HER, speed=3, **RACE)),
        (TypeError, lambda: plot.cost_against_angle(HER, drops_deg=[1, 2], ax="here", **RACE)),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, speeds_m_s=[1.0, 9.0])),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, speeds_m_s=[1.0, float("nan")])),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, speeds_m_s=1.0)),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, speeds_m_s=[[1.0, 2.0]])),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, incline_deg="4m")),
        (libdrag.InvalidInput, lambda: plot.drag_against_speed(HER, depth_m=-1)),
        (libdrag.InvalidInput, lambda: plot.area_against_incline(HER, inclines_deg=[0, 90])),
        (libdrag.UnknownKey, lambda: plot.area_against_incline(HER, posture="sitting")),
        (TypeError, lambda: plot.area_against_incline(3)),
        (libdrag.InvalidInput, lambda: plot.stroke_cycle(HER, -1, hip_drop_deg=4)),
        (libdrag.InvalidInput, lambda: plot.stroke_cycle(HER, 1.5, hip_drop_deg=400)),
        (libdrag.InvalidInput, lambda: plot.stroke_cycle(HER, 1.5, hip_drop_deg=4, breathe="sometimes")),
        (libdrag.InvalidInput, lambda: plot.stroke_cycle(HER, 1.5, hip_drop_deg=4, axes=new_axes(3))),
        (TypeError, lambda: plot.stroke_cycle(HER, 1.5, hip_drop_deg=4, draws=100, axes=[1, 2])),
        (TypeError, lambda: plot.evidence(3)),
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
