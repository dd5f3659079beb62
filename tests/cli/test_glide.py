"""glide and loaded: drag from positions after a push-off, and from speeds with and without a known force."""

import json
import math
import random

import numpy
import pytest
from scipy.optimize import curve_fit
from scipy.stats import t as student

from typed import WHO, answer, refused, whole_json

INTERVAL = {"median", "low", "high", "level"}


def interval(value):
    assert set(value) == INTERVAL
    assert value["low"] < value["median"] < value["high"]
    return value


def curve(t, x0, v0, c):
    return x0 + numpy.log1p(c * v0 * t) / c


def glide_rows(c, v0=2.2, noise=0.02, seed=1, until=3.0):
    random_of = random.Random(seed)
    times = [0.1 * i for i in range(int(until * 10) + 1)]
    return [(t, float(curve(t, 0.5, v0, c)) + random_of.gauss(0, noise)) for t in times]


def write(path, glides):
    rows = ["glide,held (deg),time (s),distance (m)"]
    for i, (held, points) in enumerate(glides, 1):
        rows += [f"{i},{held},{t:.3f},{x:.17g}" for t, x in points]
    path.write_text("\n".join(rows) + "\n")
    return str(path)


EXACT = [
    "--set",
    "glide.repeat=0",
    "--set",
    "glide.scale=0",
    "--set",
    "glide.body_mass=0",
    "--set",
    "added_mass.women=0.236+-0",
]


@pytest.mark.parametrize("seed", range(5))
def test_glide_against_scipy(tmp_path, seed):
    rows = glide_rows(0.23, seed=seed)
    tree = whole_json("glide", write(tmp_path / "g.csv", [(0, rows)]), *WHO, *EXACT)
    t, x = numpy.array(rows).T
    best, covariance = curve_fit(curve, t, x, p0=[0.5, 2.0, 0.2])
    fit = tree["fits"][0]
    mass = 63.0 * 1.236
    assert fit["speed_m_s"] == pytest.approx(best[1], rel=1e-5)
    assert fit["stopping_m"] == pytest.approx(1 / best[2], rel=1e-5)
    assert fit["residual_m"] == pytest.approx(
        math.sqrt(((curve(t, *best) - x) ** 2).sum() / (len(t) - 3)), rel=1e-5
    )
    k = interval(tree["k_kg_m"])
    assert k["median"] == pytest.approx(mass * best[2], rel=2e-3)
    half = student.ppf(0.975, len(t) - 3) * mass * math.sqrt(covariance[2, 2])
    assert k["high"] - k["low"] == pytest.approx(2 * half, rel=0.03)


def test_two_holds(tmp_path):
    path = write(tmp_path / "g.csv", [(8, glide_rows(0.28, seed=2)), (0, glide_rows(0.22, seed=3))])
    tree = whole_json("glide", path, *WHO)
    assert [row["held_deg"] for row in tree["held"]] == [0.0, pytest.approx(8.0)]
    (ratio,) = tree["ratios"]
    assert interval(ratio["seen"])["low"] < 0.28 / 0.22 < ratio["seen"]["high"]
    assert interval(ratio["expected"])["low"] > 1.0 and 0.05 < ratio["tail"] <= 1.0
    words = " ".join(answer("glide", path, *WHO).split())
    for text in ("Level", "8 deg lower", "what is known of tilt says", "Doubt", "no active drag"):
        assert text in words
    assert len(answer("glide", path, *WHO, "--csv").splitlines()) == 3


def test_points_as_typed():
    typed = "0s:0.5m,0.4s:1.35m,0.8s:2.1m,1.2s:2.75m,1.6s:3.35m,2s:3.9m"
    tree = whole_json("glide", "--points", typed, "--height", "172cm", "--mass", "63kg")
    k = interval(tree["k_kg_m"])
    assert 5 < k["low"] and k["high"] < 60
    assert typed in answer("glide", "--help").replace(" \\\n      ", " ")
    hundreds = "0s:50cm,0.4s:135cm,0.8s:210cm,1.2s:275cm,1.6s:335cm,2s:390cm"
    other = whole_json("glide", "--points", hundreds, "--height", "172cm", "--mass", "63kg")
    assert other["k_kg_m"]["median"] == pytest.approx(k["median"], rel=1e-6)
    # Five of the same are surer than one.
    five = whole_json("glide", *["--points", typed] * 5, "--height", "172cm", "--mass", "63kg")["k_kg_m"]
    assert five["high"] / five["low"] < k["high"] / k["low"]


GLIDE = ["glide", *WHO, "--points"]


@pytest.mark.parametrize(
    "args, words",
    [
        (["glide", *WHO], "points"),
        (["glide", "--points", "0s:0m"], "height"),
        ([*GLIDE, "0s:0m,1s:1m"], "at least 5"),
        ([*GLIDE, "0s:0m,1s"], "1s"),
        ([*GLIDE, "0s:0m,1m:1s,2s:2m,3s:3m,4s:4m"], "time"),
        ([*GLIDE, "0s:0m,1s:1m,1s:2m,3s:3m,4s:4m"], "times that rise"),
        ([*GLIDE, "0s:0m,1s:1m,2s:0.5m,3s:3m,4s:4m"], "distances that rise"),
        ([*GLIDE, "0s:0m,1s:2m,2s:5m,3s:9m,4s:14m"], "slow down"),
        ([*GLIDE, "0s:0m,0.1s:0.2m,0.2s:0.41m,0.3s:0.6m,0.4s:0.82m,0.5s:1m"], "slow"),
        ([*GLIDE, "0s:0m,nan:1m"], "nan"),
        ([*GLIDE, "0s:0m,1s:1m,2s:1.5m,3s:1.8m,4s:2m", "--held", "50deg"], "held"),
        (["glide", *WHO, "--held", "8deg"], "points"),
        (["glide", *WHO, "none.csv"], "none.csv"),
    ],
)
def test_glides_refused(args, words):
    assert words in refused(*args)


@pytest.mark.parametrize(
    "rows, words",
    [
        (["time (s),place", "1,2"], "distance"),
        (["time (s),distance (m)", "0,0", "0,1"], "row 3"),
        (["time (s),distance (m),held (deg)", "0,0,0", "1,1,8"], "row 3"),
        (["time (s),distance (m)", "0,#VALUE!"], "row 2"),
    ],
)
def test_glide_files_refused(tmp_path, rows, words):
    path = tmp_path / "g.csv"
    path.write_text("\n".join(rows) + "\n")
    assert words in refused("glide", *WHO, str(path))


LOADED = ["loaded", "--free", "1.62m/s,1.61m/s", "--loaded", "1.41m/s,1.40m/s", "--load", "45N"]


def test_loaded():
    tree = whole_json(*LOADED)
    v0, v1 = math.sqrt(1.62 * 1.61), math.sqrt(1.41 * 1.40)
    assert tree["equal_power_k_kg_m"] == pytest.approx(45 * v1 / (v0**3 - v1**3), rel=1e-9)
    assert tree["equal_thrust_k_kg_m"] == pytest.approx(45 / (v0**2 - v1**2), rel=1e-9)
    k, drag = interval(tree["k_kg_m"]), interval(tree["drag_N"])
    assert k["low"] < tree["equal_power_k_kg_m"] < tree["equal_thrust_k_kg_m"] < k["high"]
    assert drag["median"] == pytest.approx(k["median"] * v0**2, rel=0.02)
    assert any("release" in line for line in tree["cautions"])
    words = " ".join(answer(*LOADED).split())
    for text in ("Drag", "by equal power", "by equal thrust", "per cent in either speed", "Doubt", "Caution"):
        assert text in words
    # Repeats narrow it; exponents and closures can be chosen.
    once = whole_json("loaded", "--free", "1.615m/s", "--loaded", "1.405m/s", "--load", "45N")["k_kg_m"]
    assert once["high"] / once["low"] > k["high"] / k["low"]
    power = whole_json(*LOADED, "--set", "race.drag_exponent=2+-0", "--set", "race.thrust_closure_weight=0")
    assert power["k_kg_m"]["median"] == pytest.approx(tree["equal_power_k_kg_m"], rel=0.01)


def test_loaded_by_times_and_towed():
    args = ["loaded", "--distance", "25m", "--free", "15.4s,15.5s", "--loaded", "13.8s,13.9s", "--tow", "40N"]
    tree = whole_json(*args)
    v0, v2 = 25 / math.sqrt(15.4 * 15.5), 25 / math.sqrt(13.8 * 13.9)
    assert tree["equal_power_k_kg_m"] == pytest.approx(40 * v2 / (v2**3 - v0**3), rel=1e-9)
    assert tree["load_N"] == -40.0
    width = lambda tree: tree["k_kg_m"]["high"] / tree["k_kg_m"]["low"]
    assert width(whole_json(*args, "--by", "pads")) < width(tree)
    assert "towed" in answer(*args)


@pytest.mark.parametrize(
    "args, words",
    [
        (["loaded"], "free, loaded, load"),
        (["loaded", "--free", "1.6m/s", "--loaded", "1.5m/s"], "load"),
        ([*LOADED, "--tow", "20N"], "one of them"),
        ([*LOADED[:-1], "0N"], "1 to 300 N"),
        ([*LOADED[:-1], "500N"], "1 to 300 N"),
        ([*LOADED[:-1], "45kg"], "load"),
        (["loaded", "--free", "1.4m/s", "--loaded", "1.6m/s", "--load", "45N"], "a load slows"),
        (["loaded", "--free", "1.4m/s", "--loaded", "1.3m/s", "--tow", "45N"], "speeds up"),
        (["loaded", "--free", "1.4m/s", "--loaded", "1.399m/s", "--load", "45N"], "further apart"),
        (["loaded", "--free", "15s", "--loaded", "14s", "--load", "45N"], "free"),
        (["loaded", "--free", "15s", "--loaded", "0s", "--load", "45N", "--distance", "25m"], "loaded"),
        ([*LOADED, "--by", "pads"], "distance"),
        ([*LOADED, "--load-sd", "-2N"], "load sd"),
    ],
)
def test_loaded_refused(args, words):
    assert words in refused(*args)


def test_draws_and_seed_are_told():
    for args in (LOADED, ["angle", "--shoulder", "412,310", "--hip", "290,322"]):
        tree = json.loads(answer(*args, "--json", "--draws", "500", "--seed", "7"))
        assert (tree["draws"], tree["seed"]) == (500, 7)
        assert "500 draws" in answer(*args, "--draws", "500", "--seed", "7")
