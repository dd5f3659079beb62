"""Objects: they travel and come back the same, say what dragcalc says, draw what their seed says, and warn
where dragcalc warns.
"""

import copy
import dataclasses
import io
import json
import os
import pathlib
import pickle
import re
import subprocess
from html.parser import HTMLParser

import numpy as np
import pandas as pd
import pint
import pytest
import scipy.stats

import libdrag

from libdrag import (
    Belt, Body, Buoy, Composition, DragShorts, Drogue, Frame, Glide, Input, Posture, Sleeve, Snorkel, Swim, Swimmer,
    Tether,
)  # fmt: skip
from test_bad_input import DRAGCALC, FILM, GLIDED, MARKED, SEASON, SQUAD, SWUM, WITHOUT, values
from test_units import flat

BODY = Body("f", 1.72, 63)
RACE = {"event": "100 free", "time_s": 62.4}
FAULT = {**RACE, "hip_drop_deg": 4}
WHO = ["--sex", "f", "--height", "172cm", "--mass", "63kg"]
MAIN = ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--hip-drop", "4deg"]


def dragcalc(*args):
    """Standard output of a call that must work."""
    done = subprocess.run(
        [DRAGCALC, *args], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=1200
    )
    assert done.returncode == 0 and done.stderr == "", done
    return done.stdout


# --- they travel ------------------------------------------------------------------------------------

VALUES = list(values().values())
BY_NAME = pytest.mark.parametrize("value", VALUES, ids=[type(value).__name__ for value in VALUES])
WAYS = [copy.copy, copy.deepcopy] + [
    lambda x, protocol=protocol: pickle.loads(pickle.dumps(x, protocol))
    for protocol in range(2, pickle.HIGHEST_PROTOCOL + 1)
]


@BY_NAME
def test_values_travel(value):
    numbers, words = flat(value), repr(value)
    assert numbers or isinstance(
        value, (Input, Snorkel, DragShorts, libdrag.Picture, libdrag.PracticeWay, libdrag.Sources)
    ), value
    for way in WAYS:
        other = way(value)
        assert type(other) is type(value) and repr(other) == words
        assert np.array_equal(flat(other), numbers, equal_nan=True)
        if hasattr(value, "to_json"):
            assert (str(other), other.to_json(), other.to_csv()) == (
                str(value),
                value.to_json(),
                value.to_csv(),
            )
        if hasattr(value, "_repr_html_"):
            assert other._repr_html_() == value._repr_html_()
    assert type(value).__module__ == "libdrag"


def test_what_travels_counts_as_the_same():
    swim = Swim(BODY, stroke="fly", posture=Posture(roll_deg=7.7), incline_deg=9.1,
                water=libdrag.water(21.3, kind="sea"),
                k_kg_m=27.7, coefficients={"tilt.slope": (2.0, 0.5)})  # fmt: skip
    for value in (BODY, Body("m", "5ft11in", 80, {"chest_girth": "1.02m"}),
                  Posture("mid-stroke", roll_deg=12.3), swim,
                  Belt(2.0, 1.0), Drogue("34cm"), Composition("2.5L", 18, 31),
                  libdrag.water(27.0)):  # fmt: skip
        for way in WAYS:
            assert way(value) == value
            if not isinstance(value, (Swim, libdrag.Water)):
                assert hash(way(value)) == hash(value)
    assert eval(repr(BODY), {"Body": Body}) == BODY
    assert len({BODY, Body("f", "172cm", 63), Body("m", 1.72, 63)}) == 2


def test_intervals_are_made_after_the_journey_as_before():
    before = libdrag.passive_drag(
        BODY, [1.0, 1.5], incline_deg=5, draws=500, seed=3, level=0.5, population="typical"
    )
    after = pickle.loads(pickle.dumps(before))
    assert np.array_equal(after.low_N, before.low_N) and np.array_equal(after.high_N, before.high_N)
    wide = libdrag.passive_drag(BODY, [1.0, 1.5], incline_deg=5, draws=500, seed=3)
    assert (wide.low_N < after.low_N).all() and (wide.high_N > after.high_N).all()


def test_errors_travel():
    for wrong in (lambda: Body("f", 5, 63), lambda: Body("femal", 1.72, 63),
                  lambda: libdrag.sources()["tilt.slop"],
                  lambda: setattr(BODY, "sex", "m")):  # fmt: skip
        with pytest.raises((ValueError, KeyError, TypeError)) as caught:
            wrong()
        for way in WAYS:
            other = way(caught.value)
            assert type(other) is type(caught.value) and str(other) == str(caught.value)
            assert vars(other) == vars(caught.value)
    with pytest.raises(libdrag.InvalidInput) as caught:
        Body("f", 5, 63)
    assert (caught.value.field, caught.value.value, caught.value.allowed) == (
        "stature",
        "5 m",
        "1 m to 2.4 m",
    )
    with pytest.raises(libdrag.UnknownKey) as caught:
        Body("femal", 1.72, 63)
    assert (caught.value.kind, caught.value.key) == ("sex", "femal") and caught.value.message == str(
        caught.value
    )


def test_quantities_travel():
    wrapped = libdrag.with_units(BODY)
    other = copy.copy(wrapped)
    assert other.volume_m3.magnitude == BODY.volume_m3


def test_changed_copies():
    assert dataclasses.replace(Swim(BODY), stroke="fly").stroke == "fly"
    assert dataclasses.replace(Belt(2.0), at_m=1.0) == Belt(2.0, 1.0)
    other = BODY.replace(chest_girth_m=0.95, mass_kg="64kg")
    assert (other.measured, other.mass_kg, other.stature_m, BODY.measured) == (
        {"chest_girth": 0.95},
        64.0,
        1.72,
        {},
    )
    assert other.replace(stature_m=1.75).measured == {"chest_girth": 0.95}


# --- in words ---------------------------------------------------------------------------------------


@BY_NAME
def test_repr_is_one_short_line(value):
    line = repr(value)
    if not isinstance(value, tuple):  # named tuples show all that they hold
        most = (
            400 if isinstance(value, (Swim, libdrag.PosedBody)) else 200
        )  # which name all that they were made with
        assert line.isprintable() and len(line) < most, line
    assert type(value).__name__ in line
    assert " at 0x" not in line


# "with an honest interval": a result never shows a median alone.
@pytest.mark.parametrize("result, numbers", [
    (libdrag.passive_drag(BODY, 1.5, draws=500), lambda r: (r.total_N, r.low_N, r.high_N)),
    (libdrag.active_drag(BODY, 1.5, draws=500), lambda r: (r.total_N, r.low_N, r.high_N)),
    (libdrag.drag(BODY, 1.5, draws=500), lambda r: (*r.passive_N[:3], *r.active_N[:3])),
    (libdrag.stroke(BODY, 1.5, draws=100), lambda r: r.centre_of_mass_peak_fluctuation[:3]),
    (libdrag.implied_hip_drop(BODY, 62.0, **RACE, draws=500), lambda r: r.hip_drop_deg[:3]),
    (libdrag.propagate(lambda x: x["a"], {"a": Input.normal(2, 1)}, draws=500),
     lambda r: (r.median, r.low, r.high)),
], ids=lambda x: type(x).__name__)  # fmt: skip
def test_repr_shows_the_interval(result, numbers):
    assert "95 % range" in repr(result)
    for x in numbers(result):
        assert f"{x:.3g}" in repr(result), (repr(result), x)


def test_repr_of_a_cost():
    cost = libdrag.cost(BODY, **FAULT, draws=2000, level=0.9)
    assert repr(cost) == (f"Cost(100 m freestyle lcm 1:02.40 swum with 4 deg every-2: {cost.median:.2f} s, 90 % range "
                          f"{cost.low:.2f} to {cost.high:.1f} s; f 1.72 m 63 kg, crawl, planimetric)")  # fmt: skip
    shown = repr(libdrag.cost(BODY, **RACE, hip_drop_deg=[2, 4], draws=200))
    assert re.fullmatch(r"Costs\(shape \(2,\), 0\.\d+ to 0\.\d+ s at the median\)", shown)


# No elements are a shape as well.
@pytest.mark.parametrize("call", [
    lambda: libdrag.passive_drag(BODY, []), lambda: libdrag.active_drag(BODY, np.zeros((0, 3))),
    lambda: libdrag.cost(BODY, event="100 free", time_s=[], hip_drop_deg=4, draws=100),
    lambda: libdrag.cost([], **FAULT, draws=100), lambda: libdrag.what_if(BODY, [], **RACE, draws=100),
])  # fmt: skip
def test_repr_of_nothing(call):
    result = call()
    assert "shape (0,)" in repr(result) or "shape (0, 3)" in repr(result)
    assert well_formed(result._repr_html_())


CALLS = {
    "body": (lambda: Body("f", "172cm", 63, {"chest_girth": "92cm"}),
             ["body", *WHO, "--dim", "chest_girth=92cm"]),
    "drag": (lambda: libdrag.drag(Swim(BODY, stroke="fly", method="perturbation", water=libdrag.water(24)),
                                  1.4, level=0.8),
             ["drag", *WHO, "--speed", "1.4mps", "--stroke", "fly", "--method", "perturbation",
              "--temperature", "24C",
              "--level", "0.8"]),
    "drag of a sample": (lambda: libdrag.drag(BODY, 1.5, aids=[Belt(2), DragShorts()],
                                              population="mean-of=12", seed=5, draws=500),
                         ["drag", *WHO, "--speed", "1.5mps", "--belt", "2kg", "--shorts", "--for",
                          "mean-of=12", "--seed", "5",
                          "--draws", "500"]),
    "drag in a posture": (lambda: libdrag.drag(Swim(BODY, posture=Posture("arms-at-sides", leg_angle_deg=5),
                                                    depth_m=0.5,
                                                    tilt_model="slope", waves="havelock", incline_deg=3), 2.0,
                                                    draws=500),
                          ["drag", *WHO, "--speed", "2mps", "--posture", "arms-at-sides", "--leg-angle",
                           "5deg", "--depth", "0.5m",
                           "--tilt-model", "slope", "--waves", "havelock", "--incline", "3deg", "--draws",
                           "500"]),
    "cost": (lambda: libdrag.cost(BODY, **FAULT, breathe="every-2"), [*MAIN, "--breathe", "every-2"]),
    "cost of a medley": (lambda: libdrag.cost(BODY, event="200 IM", course="scm", time_s="2:30",
                                              hip_drop_deg="6cm",
                                              splits_s=[30, 37, 43, 40], breathe="fly=every-1,free=every-3",
                                              level=0.5, seed=7, draws=3000),
                         ["cost", "--event", "200 IM", "--course", "scm", "--time", "2:30", "--hip-drop",
                          "6cm", "--splits", "30,37,43,40",
                          "--breathe", "fly=every-1,free=every-3", "--level", "0.5", "--seed", "7", "--draws",
                          "3000", *WHO]),
    "cost with all": (lambda: libdrag.cost(Swim(BODY, incline_deg=8, coefficients={"tilt.slope": (2.0, 0.5)}),
                                           **RACE, head_lift_m=0.06,
                                           given="without", start_underwater_m=10, turn_underwater_m=5,
                                           aids=[Belt(2, 1.0)],
                                           composition=Composition("full", 15, 30), within_stroke=True,
                                           draws=100),
                      ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--incline", "8deg", "--set",
                       "tilt.slope=2.0+-0.5",
                       "--head-lift", "6cm", "--given", "without", "--start-underwater", "10m",
                       "--turn-underwater", "5m", "--belt",
                       "2kg", "--belt-at", "100cm", "--lungs", "full", "--fat", "15%", "--age", "30",
                       "--within-stroke", "--draws", "100"]),
    "wanted": (lambda: libdrag.wanted_gain(BODY, 0.2, **FAULT, draws=500),
               [*MAIN, "--want", "0.2s", "--draws", "500"]),
    "implied": (lambda: libdrag.implied_hip_drop(BODY, "1:02", **RACE, draws=500),
                ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--time-without", "1:02",
                 "--draws", "500"]),
    "stroke": (lambda: libdrag.stroke(BODY, 1.5, hip_drop_deg=4, breathe="every-3", cycle_s=1.2,
                                      effort="thrust"),
               ["stroke", *WHO, "--speed", "1.5mps", "--hip-drop", "4deg", "--breathe", "every-3", "--cycle",
                "1.2s", "--effort", "thrust"]),
    "balance": (lambda: libdrag.balance(BODY, aids=[Belt(2), Buoy("3L")], head_lift_m=0.06,
                                        composition=Composition(fat_percent=25)),
                ["balance", *WHO, "--belt", "2kg", "--buoy", "3L", "--head-lift", "6cm", "--fat", "25%"]),
    "aids": (lambda: libdrag.aids(BODY, 1.5, [Snorkel(), Belt(2), Drogue(0.03, "bowl"), Tether(10),
                                              Sleeve("2L")], want=1.3, draws=500),
             ["aids", *WHO, "--speed", "1.5mps", "--belt", "2kg", "--tether", "10N", "--bowl", "300cm2",
              "--sleeve", "2L", "--snorkel",
              "--want", "x1.3", "--draws", "500"]),
    "evidence": (lambda: next(value for value in VALUES if isinstance(value, libdrag.Evidence)), ["evidence"]),
    "angle": (lambda: libdrag.angle(breaths=[MARKED], without=WITHOUT, side="away", slip_px=1.5, cycle_s=1.2,
                                    horizon=((0, 300), (1280, 304)), body=BODY, draws=500, seed=3),
              ["angle", "--shoulder", "412,310", "--hip", "290,322", "--without-shoulder", "700,305",
               "--without-hip", "578,309", "--side", "away", "--slip", "1.5px", "--cycle", "1.2s", "--horizon",
               "0,300,1280,304", *WHO, "--draws", "500", "--seed", "3"]),
    "angle of a file": (lambda: libdrag.angle(FILM, stroke="fly", above_water=True),
                        ["angle", FILM, "--stroke", "fly", "--above-water"]),
    "glide": (lambda: libdrag.glide(BODY, Glide(**GLIDED, held_deg=8, depth_m=0.6), draws=500),
              ["glide", "--points", ",".join(f"{t}s:{x}m" for t, x in zip(*GLIDED.values())), "--held", "8deg",
               "--depth", "0.6m", *WHO, "--draws", "500"]),
    "loaded": (lambda: libdrag.loaded(free_m_s=[1.62, 1.61], loaded_m_s=[1.41, 1.40], load_N=45, load_sd_N=2,
                                      draws=500),
               ["loaded", "--free", "1.62m/s,1.61m/s", "--loaded", "1.41m/s,1.40m/s", "--load", "45N",
                "--load-sd", "2N", "--draws", "500"]),
    "towed": (lambda: libdrag.loaded(free_s=[15.4, 15.5], loaded_s=[13.8, 13.9], distance_m=25, by="pads",
                                     tow_N=40, level=0.9),
              ["loaded", "--free", "15.4s,15.5s", "--loaded", "13.8s,13.9s", "--distance", "25m", "--by", "pads",
               "--tow", "40N", "--level", "0.9"]),
    "progress": (lambda: libdrag.progress(SEASON, "Mia"), ["progress", SEASON, "--name", "Mia"]),
    "progress in a race": (lambda: libdrag.progress(SEASON, body=BODY, event="100 free", time_s="1:02.40",
                                                    course="scm", draws=500),
                           ["progress", SEASON, *WHO, "--event", "100 free", "--time", "1:02.40", "--course",
                            "scm", "--draws", "500"]),
    "measured": (lambda: libdrag.measured(SEASON, "Mia", body=BODY, event="100 free", time_s="1:02.40", draws=1000,
                                          seed=3),
                 ["measured", SEASON, "--name", "Mia", *WHO, "--event", "100 free", "--time", "1:02.40", "--draws",
                  "1000", "--seed", "3"]),
    "trials": (lambda: libdrag.trials(SWUM, distance_m=25, by="pads", level=0.9),
               ["trials", SWUM, "--distance", "25m", "--by", "pads", "--level", "0.9"]),
    "trials with a race": (lambda: libdrag.trials(SWUM, distance_m=25, event="100 free", time_s="1:02.40",
                                                  hip_drop_deg=4, draws=2000),
                           ["trials", SWUM, "--distance", "25m", "--event", "100 free", "--time", "1:02.40",
                            "--hip-drop", "4deg", "--draws", "2000"]),
    "design": (lambda: libdrag.design(event="100 free", time_s="1:02.40", hip_drop_deg=4, swims=[2, 4], days=[1, 2],
                                      draws=1000),
               ["design", "--event", "100 free", "--time", "1:02.40", "--hip-drop", "4deg", "--swims", "2,4",
                "--days", "1,2", "--draws", "1000"]),
    "compare": (lambda: libdrag.compare(BODY, event="100 free", time_s="1:02.40", hip_drop_deg=4, head_lift_m=0.06,
                                        steady_drop_deg=2, leg_angle_deg=8, instead=["every-3", "every-4"],
                                        aids=libdrag.Belt(1), draws=1000),
                ["compare", *WHO, "--event", "100 free", "--time", "1:02.40", "--hip-drop", "4deg", "--head-lift", "6cm",
                 "--steady-drop", "2deg", "--leg-angle", "8deg", "--instead", "every-3", "--instead", "every-4",
                 "--belt", "1kg", "--draws", "1000"]),
    "practice": (lambda: libdrag.practice(event="100 free", time_s="1:02.40", minutes=45, pool_m="25m", work="race",
                                          aids=libdrag.Snorkel(), hip_drop_deg=4, draws=1000),
                 ["practice", "--event", "100 free", "--time", "1:02.40", "--minutes", "45", "--pool", "25m", "--work",
                  "race", "--snorkel", "--hip-drop", "4deg", "--draws", "1000"]),
    "practice loaded": (lambda: libdrag.practice(BODY, event="100 fly", time_s="1:10", minutes=60, pool_m="25yd",
                                                 work="loaded", aids=[libdrag.Snorkel(), libdrag.Belt(2)], seed=5,
                                                 draws=1000),
                        ["practice", *WHO, "--event", "100 fly", "--time", "1:10", "--minutes", "60", "--pool", "25yd",
                         "--work", "loaded", "--snorkel", "--belt", "2kg", "--seed", "5", "--draws", "1000"]),
    "aids by record": (lambda: libdrag.aids(BODY, 1.5, Tether(20), record=SEASON, name="Mia", draws=2000),
                       ["aids", "--speed", "1.5m/s", *WHO, "--tether", "20N", "--record", SEASON, "--name", "Mia",
                        "--draws", "2000"]),
    "stroke by record": (lambda: libdrag.stroke(BODY, 1.5, hip_drop_deg=4, record=SEASON, draws=200),
                         ["stroke", "--speed", "1.5m/s", *WHO, "--hip-drop", "4deg", "--record", SEASON, "--draws",
                          "200"]),
    "cost by record": (lambda: libdrag.cost(BODY, **RACE, record=SEASON, name="Mia", draws=2000),
                       ["cost", "--event", "100 free", "--time", "1:02.40", *WHO, "--record", SEASON, "--name",
                        "Mia", "--draws", "2000"]),
}  # fmt: skip
SAID = {}


def said(name):
    if name not in SAID:
        call, args = CALLS[name]
        SAID[name] = call(), dragcalc(*args), dragcalc(*args, "--json"), dragcalc(*args, "--csv")
    return SAID[name]


# The command line: the same options, the same words, JSON and CSV, to the last digit.
@pytest.mark.parametrize("name", CALLS)
def test_the_words_of_the_command_line(name):
    result, words, as_json, as_csv = said(name)
    assert str(result) == words and len(words) > 100
    assert result.to_json() == as_json and json.loads(as_json)
    assert result.to_csv() == as_csv and as_csv.count("\n") >= 2
    assert not re.search(r"\bnan\b|\binf\b|null", words)


class Checker(HTMLParser):
    """Elements that are closed in order, the text in them, and the names of the tags."""

    EMPTY = {"br", "hr", "img"}

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.cells = [], set(), []

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        for name, value in attributes:
            assert not name.startswith("on") and value is not None and "javascript" not in value
        if tag not in self.EMPTY:
            self.open.append(tag)
        if tag != "br":
            self.cells.append("")

    def handle_endtag(self, tag):
        assert self.open and self.open.pop() == tag, tag
        self.cells.append("")

    def handle_data(self, text):
        self.cells.append(self.cells.pop() + text if self.cells else text)


def well_formed(text):
    checker = Checker()
    checker.feed(text)
    checker.close()
    assert checker.open == [] and checker.tags <= {"p", "table", "thead", "tbody", "tr", "th", "td", "br",
                                                   "details", "summary"}, (
        checker.open, checker.tags
    )  # fmt: skip
    assert not re.search(r"&(?!(amp|lt|gt|quot|#x27|#39|nbsp|plusmn);)", text)
    return checker


def squeezed(text):
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("name", [name for name in CALLS if name not in ("body", "evidence")])
def test_html_says_all_the_words(name):
    result, words, _, _ = said(name)
    checker = well_formed(result._repr_html_())
    # label and text of every line, in order
    assert squeezed("".join(checker.cells)) == squeezed(words)
    for cell in filter(None, map(str.strip, checker.cells)):
        assert re.sub(r"\s+", " ", cell) in re.sub(r"\s+", " ", words) or "1. " in cell, cell


def test_html_of_a_body():
    result, words, _, _ = said("body")
    text = re.sub(r"\s+", " ", " ".join(well_formed(result._repr_html_()).cells))
    head, dimensions = words.split("\n\n  dimension ")
    for label, sentence in re.findall(r"^  (\S.{10}\S?) +(\S.*)$", head, re.M):
        assert label.strip() in text and re.sub(r"\s+", " ", sentence) in text, sentence
    for name, row in result.dimensions.items():
        assert name in text and f"{100 * row['value_m']:.1f} cm" in text
    assert "round the chest at its fullest" in text and text.count("measured") == 1
    child = Body("f", 1.35, 32)
    assert child.flags and child.flags[0] in " ".join(well_formed(child._repr_html_()).cells)


def test_html_of_evidence_and_sources():
    checker = well_formed(said("evidence")[0]._repr_html_())
    for row in said("evidence")[0].rows:
        assert row.id in checker.cells and row.source in checker.cells and row.quantity in checker.cells
    checker = well_formed(libdrag.sources()._repr_html_())
    for source in libdrag.sources().values():
        assert source.key in checker.cells and source.citation in checker.cells


@BY_NAME
def test_all_html_is_well_formed(value):
    if hasattr(value, "_repr_html_") and not isinstance(value, libdrag.Picture):
        assert any(well_formed(value._repr_html_()).cells)


HOSTILE = [
    "<script>alert(1)</script>",
    "\"onmouseover='x'",
    "a & b &lt; c",
    "</table></p>",
    "<img src=x>",
    "Ada ☃ Ω",
    "--",
    "  Cost  9 s",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_a_name_is_text(name):
    html = Swimmer(name, BODY)._repr_html_()
    checker = well_formed(html)
    assert "script" not in checker.tags and "img" not in checker.tags
    assert name.strip() in " ".join(checker.cells)
    assert name in str(Swimmer(name, BODY))
    assert json.loads(Swimmer(name, BODY).to_json())["name"] == name


# A swimmer's table has the names of the dimensions whole, each in a place of its own.
def test_html_of_a_swimmer():
    swimmer = Swimmer("Ada", BODY)
    cells = [re.sub(r"\s+", " ", cell.strip()) for cell in well_formed(swimmer._repr_html_()).cells]
    for name in BODY.dimensions:
        assert any(re.match(rf"{name}\b", cell) for cell in cells), name
    assert "Ada" in cells[0] and any("fingertip to toe" in cell for cell in cells)


def test_html_of_many_costs_warns():
    costs = libdrag.cost(BODY, **RACE, hip_drop_deg=[2, 4], breathe="every-6", draws=200)
    text = " ".join(well_formed(costs._repr_html_()).cells)
    assert costs.cautions and all(caution in text for caution in costs.cautions)
    assert "100 m freestyle" in text and f"{costs.median[1]:.3g}" in text


# --- sweeps -----------------------------------------------------------------------------------------

DROPS, TIMES = np.array([1.0, 2.0, 4.0]), np.array([58.0, 62.4])


@pytest.fixture(scope="module")
def grid():
    return libdrag.sweep(
        BODY,
        event="100 free",
        time_s=TIMES,
        hip_drop_deg=DROPS[:, None],
        breathe="every-3",
        draws=300,
        seed=2,
    )


FIELDS = ["sex", "stature_m", "mass_kg", "event", "course", "breathe", "time_s", "hip_drop_deg", "cost_s",
          "low_s", "high_s",
          "per_degree_s", "per_degree_low_s", "per_degree_high_s", "drag_change", "drag_change_low",
          "drag_change_high",
          "mean_hip_drop_deg", "priced_share"]  # fmt: skip


def test_a_sweep_is_its_costs(grid):
    assert grid.shape == (3, 2) and list(grid.dtype.names)[: len(FIELDS)] == FIELDS
    for i, drop in enumerate(DROPS):
        for j, time in enumerate(TIMES):
            row = grid[i, j]
            cost = libdrag.cost(
                BODY, event="100 free", time_s=time, hip_drop_deg=drop, breathe="every-3", draws=300, seed=2
            )
            assert (row["sex"], row["event"], row["course"], row["breathe"]) == (
                "f",
                "100 m freestyle",
                "lcm",
                "every-3",
            )
            want = (cost.median, cost.low, cost.high, *cost.per_degree_s[:3], *cost.drag_change[:3],
                    cost.hip_drop_deg,
                    cost.mean_hip_drop_deg, cost.priced_share, time, 1.72, 63.0)  # fmt: skip
            names = ("cost_s", "low_s", "high_s", "per_degree_s", "per_degree_low_s", "per_degree_high_s",
                     "drag_change",
                     "drag_change_low", "drag_change_high", "hip_drop_deg", "mean_hip_drop_deg",
                     "priced_share", "time_s",
                     "stature_m", "mass_kg")  # fmt: skip
            assert tuple(float(row[name]) for name in names) == want


def test_many_costs_are_their_costs(grid):
    costs = libdrag.cost(
        BODY,
        event="100 free",
        time_s=TIMES,
        hip_drop_deg=DROPS[:, None],
        breathe="every-3",
        draws=300,
        seed=2,
    )
    assert (
        costs.table.tobytes() == grid.tobytes() and costs.draws.shape == (3, 2, 300) and costs.level == 0.95
    )
    assert np.array_equal(costs.median, grid["cost_s"]) and np.array_equal(costs.high, grid["high_s"])
    one = libdrag.cost(
        BODY, event="100 free", time_s=TIMES[1], hip_drop_deg=DROPS[2], breathe="every-3", draws=300, seed=2
    )
    assert np.array_equal(costs.draws[2, 1], one.draws)
    ladder = libdrag.what_if(
        BODY, DROPS, event="100 free", time_s=TIMES[1], breathe="every-3", draws=300, seed=2
    )
    assert ladder.table.tobytes() == np.ascontiguousarray(grid[:, 1]).tobytes()


# dragcalc --what-if: the race with its drop first, then the ladder, from the same draws.
def test_the_ladder_of_the_command_line():
    rows = pd.read_csv(io.StringIO(dragcalc(*MAIN, "--what-if", "1deg,2deg", "--csv")))
    ladder = libdrag.what_if(BODY, [4, 1, 2], **RACE)
    assert ladder.median == pytest.approx(rows["cost_s"].to_numpy(), rel=1e-12)
    assert ladder.high == pytest.approx(rows["cost_high_s"].to_numpy(), rel=1e-12)


def test_a_squad():
    squad = [BODY, Swim(Body("m", 1.88, 82), incline_deg=8), Body("average", 1.6, 52)]
    table = libdrag.sweep(squad, event=["100 free", "200 back", "50 fly"], time_s=[62.4, "2:15.00", 30],
                          hip_drop_deg=3, when=["breath", "always", "breath"],
                          course=["lcm", "scm", "scy"], draws=200)  # fmt: skip
    assert table["when"].tolist() == ["breath", "always", "breath"]
    with pytest.raises(libdrag.InvalidInput, match=r"^when at \[1\]: got breath; allowed: always"):
        libdrag.sweep(squad, event=["100 free", "200 back", "50 fly"], time_s=[62.4, 135, 30], hip_drop_deg=3)
    assert table["sex"].tolist() == ["f", "m", "average"] and table["mass_kg"].tolist() == [63.0, 82.0, 52.0]
    assert table["event"].tolist() == ["100 m freestyle", "200 m backstroke", "50 yd butterfly"]
    assert table["course"].tolist() == ["lcm", "scm", "scy"] and table["time_s"].tolist() == [
        62.4,
        135.0,
        30.0,
    ]


# What is written in a table is what was asked, however long.
def test_long_patterns_stay_whole():
    pattern = ",".join(["every-2", "every-3"] * 8)
    assert (
        libdrag.sweep(BODY, event="800 free", time_s=600, hip_drop_deg=4, breathe=pattern, draws=100)[
            "breathe"
        ]
        == pattern
    )
    medley = "fly=every-1,back=never,breast=every-1,free=every-2"
    assert (
        libdrag.sweep(BODY, event="200 IM", time_s=150, hip_drop_deg=4, breathe=medley, draws=100)["breathe"]
        == medley
    )


def test_tables_for_pandas_and_xarray(grid):
    frame = libdrag.to_pandas(grid)
    assert (
        isinstance(frame, pd.DataFrame) and list(frame.columns) == list(grid.dtype.names) and len(frame) == 6
    )
    assert (
        frame["cost_s"].tolist() == grid["cost_s"].ravel().tolist()
        and frame["breathe"].tolist() == ["every-3"] * 6
    )

    cube = libdrag.to_xarray(grid)
    assert cube["cost_s"].dims == ("hip_drop_deg", "time_s")
    assert np.array_equal(cube["hip_drop_deg"], DROPS) and np.array_equal(cube["time_s"], TIMES)
    assert float(cube["cost_s"].sel(hip_drop_deg=2.0, time_s=62.4)) == grid["cost_s"][1, 1]
    assert set(cube.data_vars) | set(cube.coords) == set(grid.dtype.names)
    # no field labels an axis whose steps are equal in all of them
    twice = libdrag.to_xarray(np.stack([grid, grid]))
    assert twice["cost_s"].dims == ("axis_0", "hip_drop_deg", "time_s")
    events = libdrag.to_xarray(
        libdrag.sweep(BODY, event=["100 free", "200 free"], time_s=[62.4, 135], hip_drop_deg=4, draws=100)
    )
    assert events["event"].values.tolist() == ["100 m freestyle", "200 m freestyle"] and events[
        "cost_s"
    ].dims == ("event",)
    scalar = libdrag.to_xarray(libdrag.sweep(BODY, **FAULT, draws=100))
    assert scalar["cost_s"].dims == ()


def test_records():
    drag = libdrag.passive_drag(BODY, [[1.0, 1.5]], [[0.0], [5.0]])
    table = drag.to_records()
    assert table.shape == (2, 2) and table.dtype.names == (
        "speed_m_s",
        "incline_deg",
        "total_N",
        "friction_N",
        "pressure_N",
        "wave_N",
        "k_kg_m",
        "within_validity",
    )
    assert table["speed_m_s"].tolist() == [[1.0, 1.5]] * 2 and table["incline_deg"][:, 0].tolist() == [
        0.0,
        5.0,
    ]
    assert np.array_equal(table["total_N"], drag.total_N) and len(libdrag.to_pandas(table)) == 4
    assert libdrag.active_drag(BODY, 1.5).to_records().shape == ()
    evidence = said("evidence")[0]
    table, frame = evidence.to_records(), evidence.to_pandas()
    assert len(table) == len(evidence.rows) == len(frame) and frame.index.tolist() == [
        row.id for row in evidence.rows
    ]
    for record, row in zip(table, evidence.rows):
        assert all(
            record[name] == getattr(row, name)
            for name in ("id", "study", "kind", "measured", "predicted", "inside", "source", "note")
        )
        assert (np.isnan(record["sd"]) if row.sd is None else record["sd"] == row.sd) and record["n"] == (
            row.n or 0
        )
    sources = libdrag.sources().to_pandas()
    assert sources.loc["tilt.slope", "value"] == libdrag.sources()["tilt.slope"].value and len(
        sources
    ) == len(libdrag.sources())


# A result that is one number says it as the words do: no "-0.00", no "1.2e+02" (the library's own rule).
def test_seconds_of_a_repr_are_those_of_the_words():
    from libdrag import _core

    assert [_core.in_seconds(s) for s in (-0.0004, 0.0, 0.004, 0.034, -0.034, 120.4)] == [
        "0.00", "0.00", "0.00", "0.03", "-0.03", "120",
    ]  # fmt: skip
    assert str(libdrag.Estimate(-0.0, 0.09, 1409.7, 0.95)) == "0 (95 % range 0.09 to 1410)"
    assert "e+" not in repr(libdrag.passive_drag(BODY, 3.9, 45, draws=200))
    back = libdrag.cost(BODY, event="100 back", time_s=70, hip_drop_deg=4, when="always", draws=100)
    assert back.when == "always" and back.breathe == "" and "4 deg always: " in repr(back)
    flat = libdrag.cost(BODY, **RACE, hip_drop_deg=0.01, hip_drop_sd_deg=0, draws=100)
    assert "-0.00" not in repr(flat) and "-0.00" not in str(flat)


def test_no_drop_is_none():
    found = libdrag.implied_hip_drop(BODY, 62.0, **RACE, draws=200)
    plain = {**{name: getattr(found, name) for name in ("explained", "cautions")}, "hip_drop_deg": None}
    none = libdrag.ImpliedDrop(
        {**plain, "words": "", "json": "", "csv": "", "chart": found._chart}, found.asked
    )
    assert none.hip_drop_deg is None and "no drop, explained" in repr(none) and none != found
    assert np.isnan(libdrag.to_pandas(none)["hip_drop_deg"][0])


# Every result as a table: a row of it, or of its elements or time steps, with the unit of each column by the end
# of its name, as pint reads it.
@BY_NAME
def test_tables_of_every_value(value):
    if isinstance(value, (Posture, Swim, Input, Frame, libdrag.Aid, Composition)):
        with pytest.raises(TypeError, match="table: got .*; allowed: a result"):
            libdrag.to_pandas(value)
        return
    frame, data = libdrag.to_pandas(value), libdrag.to_xarray(value)
    assert len(frame) >= 1 and len(frame.columns) >= (1 if isinstance(value, libdrag.Picture) else 2)
    assert set(data.data_vars) | set(data.coords) == set(frame.columns)
    units = frame.attrs["units"]
    for name in frame.columns:
        if frame[name].dtype == float:
            assert data[name].attrs.get("units") == units.get(name) == libdrag.units.unit_of(name)
            frame[name] *= 2  # a frame is the caller's own
    if hasattr(value, "asked"):
        assert frame.attrs["version"] == data.attrs["version"] == libdrag.__version__
        assert frame.attrs["coefficients"] == ""


def test_rows_of_results():
    cost = libdrag.cost(BODY, event="200 IM", time_s=150, hip_drop_deg=3, draws=200)
    row = libdrag.to_pandas(cost)
    assert len(row) == 1 and row["cost_s"][0] == cost.median and row["cost_high_s"][0] == cost.high
    assert row["method"][0] == "planimetric" and row["sex"][0] == "f" and row.attrs["units"]["cost_s"] == "s"
    legs = libdrag.to_pandas(cost.legs)
    assert legs["stroke"].tolist() == [leg.stroke for leg in cost.legs] and len(legs) == 4
    motion = libdrag.stroke(BODY, 1.5, draws=100).without
    series = libdrag.to_xarray(motion)
    assert series["v_m_s"].dims == ("t_s",) and np.array_equal(series["v_m_s"], motion.v_m_s)
    assert series["v_m_s"].attrs["units"] == "m / s"
    runs = libdrag.propagate(lambda x: {"a": x["x"], "b": 2 * x["x"]}, {"x": Input.normal(1, 1)}, draws=200)
    assert libdrag.to_pandas(runs)["result"].tolist() == ["a", "b"]
    effects = libdrag.aids(BODY, 1.5, [Belt(2), Tether(20)], draws=200).effects
    assert libdrag.to_pandas(effects)["what"].tolist() == [e.what for e in effects]
    assert libdrag.to_pandas(libdrag.sources()).attrs["units"] == {}


# The draws of a record count by their weights, in every figure made of them.
def test_draws_of_a_record_have_weights():
    race = dict(event="100 free", time_s=62.4, draws=2000)
    known = libdrag.measured(SEASON, body=BODY, **race)
    price = libdrag.cost(BODY, record=SEASON, **race)
    assert libdrag.cost(BODY, hip_drop_deg=4, **race).weights is None
    assert np.array_equal(price.draws, known.draws) and np.array_equal(price.weights, known.weights)
    order, share = np.argsort(known.draws), known.weights / known.weights.sum()
    middle = known.draws[order][np.searchsorted(np.cumsum(share[order]), 0.5)]
    assert middle == pytest.approx(known.hips_s.median, rel=0.01) == pytest.approx(price.median, rel=0.01)
    assert price.to_ufloat().nominal_value == pytest.approx((share * known.draws).sum(), rel=1e-12)
    assert known.effective_draws == pytest.approx(1 / (share**2).sum(), rel=1e-9)
    inverse = libdrag.wanted_gain(BODY, 0.1, record=SEASON, **race)
    enough = share[price.draws >= 0.1].sum()  # of which each draw takes all away
    assert inverse.most_s == price.cost_s and inverse.chance == pytest.approx(enough, rel=1e-9)
    assert inverse.asked["record"] == str(SEASON)
    with pytest.raises(libdrag.InvalidInput, match="time without"):
        libdrag.implied_hip_drop(BODY, 62.0, record=SEASON, **race)
    data = known.to_xarray()
    assert data["hips_s"].dims == ("chain", "draw") and data["hips_s"].shape == (1, 2000)
    assert np.array_equal(data["weight"][0], known.weights) and data["hips_s"].attrs["units"] == "s"


def test_a_squad_is_pooled_only_on_request(tmp_path):
    path = tmp_path / "squad.csv"
    for who, slower in (("Anna", 0.2), ("Mia", 0.3)):
        for how, time_s in (("snorkel", 14.3), ("every-2", 14.3 + slower)) * 4:
            libdrag.append_to_record(path, who, how=how, distance_m=25, time_s=time_s, date="2026-11-25")
    race = dict(body=BODY, event="100 free", time_s=62.4, hip_drop_deg=4, draws=1000)
    alone, known = libdrag.measured(path, "Anna", **race), libdrag.measured(path, "Anna", pool=True, **race)
    assert alone.pooled is None and list(known.pooled["swimmers"]) == ["Mia"]
    assert known.pooled["hips_alone_s"]["high"] == alone.hips_s.high
    assert [fit.whose for fit in known.measurements][-1] == "Mia" and known.asked["pool"] is True


def test_a_record_is_of_one_race():
    with pytest.raises(libdrag.InvalidInput, match="record: got .*; allowed: nothing beside several races"):
        libdrag.cost(BODY, event="100 free", time_s=[60, 62], record=SEASON)


# --- a result is of somebody, and stays ---------------------------------------------------------------

REPLACED = {"tilt.slope": (2.0, 0.5)}
ADA_SWIM = Swim(BODY, method="perturbation", tilt_model="slope", coefficients=REPLACED)
RESULTS = {
    "cost": lambda who: libdrag.cost(who, **FAULT, breathe="every-3", given="without", draws=200),
    "wanted": lambda who: libdrag.wanted_gain(who, 0.1, **FAULT, draws=200),
    "implied": lambda who: libdrag.implied_hip_drop(who, 62.0, **RACE, draws=200),
    "passive": lambda who: libdrag.passive_drag(who, 1.5, draws=200),
    "active": lambda who: libdrag.active_drag(who, 1.5, draws=200),
    "drag": lambda who: libdrag.drag(who, 1.5, draws=200),
    "stroke": lambda who: libdrag.stroke(who, 1.5, draws=100),
    "balance": lambda who: libdrag.balance(who),
    "aids": lambda who: libdrag.aids(who, 1.5, Tether(20), draws=200),
}


@pytest.mark.parametrize("name", RESULTS)
def test_a_result_says_what_it_is_of(name):
    result = RESULTS[name](ADA_SWIM)
    asked = result.asked
    assert (
        asked["body"] == BODY
        and asked["coefficients"] == REPLACED
        and asked["version"] == libdrag.__version__
    )
    assert asked["method"] == "perturbation" and asked["tilt_model"] == "slope" and asked["swimmer"] == ""
    assert "f 1.72 m 63 kg" in repr(result) and "tilt slope" in repr(result) and "tilt.slope" in repr(result)
    if name in ("cost", "active", "drag", "wanted", "implied"):
        assert "perturbation" in repr(result)
    ada = RESULTS[name](Swimmer("Ada", BODY))  # a swimmer may stand where a body may
    assert ada.asked["swimmer"] == "Ada" and "Ada" in repr(ada) and "tilt" not in repr(ada).split("; ")[-1]
    assert libdrag.to_pandas(ada)["swimmer"][0] == "Ada" if name not in ("passive", "active") else True
    with pytest.raises(libdrag.FrozenError):
        asked["method"] = "planimetric"


def test_a_cost_says_how_it_was_swum():
    cost = RESULTS["cost"](BODY)
    assert (cost.asked["given"], cost.breathe, cost.when) == ("without", "every-3", "breath")
    assert "swum without 4 deg every-3" in repr(cost)
    medley = libdrag.cost(BODY, event="200 IM", time_s=150, hip_drop_deg=3, draws=100)
    assert "fly=every-1" in medley.breathe and "crawl=every-2" in medley.breathe
    typed = libdrag.cost(
        BODY, event="100 free", time_s="1:02.40", hip_drop_deg="4deg", aids=Belt("2kg"), draws=100
    )
    assert (typed.asked["time_s"], typed.asked["hip_drop_deg"], typed.asked["aids"]) == (
        62.4,
        4.0,
        ("belt 2.00 kg",),
    )


def test_one_tilt_model_does_not_disagree_with_itself():
    for model, words in (
        ("blend", "the models disagree; one rigid diver was measured"),
        ("slope", "slope alone"),
        ("damped", "damped alone"),
    ):
        for result in (libdrag.cost(Swim(BODY, tilt_model=model), **FAULT, draws=400),
                       libdrag.drag(Swim(BODY, tilt_model=model), 1.5, draws=400)):  # fmt: skip
            because = result.because if isinstance(result, libdrag.Cost) else result.because_passive
            assert f"how drag grows with tilt ({words})" in [part.input for part in because]
            for said in (str(result), result.to_json()):
                assert "models disagree" not in said or model == "blend"


# Every row of a table is told apart by its columns: whatever differs between the races has one.
@pytest.mark.parametrize("many, column, values", [
    ({"head_lift_m": [0.04, 0.06], "hip_drop_deg": None}, "head_lift_m", [0.04, 0.06]),
    ({"hip_drop_deg": None, "hip_drop_m": ["4cm", 0.06]}, "hip_drop_m", [0.04, 0.06]),
    ({"hip_drop_sd_deg": [0.5, "1deg"]}, "hip_drop_sd_deg", [0.5, 1.0]), ({"given": ["with", "without"]}, "given",
                                                                         ["with", "without"]),
    ({"when": ["breath", "always"]}, "when", ["breath", "always"]),
    ({"turn_underwater_m": [5, 10]}, "turn_underwater_m", [5.0, 10.0]),
    ({"start_underwater_m": [None, 10]}, "start_underwater_m", [np.nan, 10.0]),
])  # fmt: skip
def test_a_column_for_everything_that_varies(many, column, values):
    table = libdrag.sweep(BODY, **{**FAULT, **many}, draws=100)
    assert (
        table[column].tolist() == pytest.approx(values, nan_ok=True)
        if values[0] != str(values[0])
        else (table[column].tolist() == values)
    )


def test_columns_of_swims_that_differ():
    swims = [BODY, Swimmer("Ada", BODY), Swim(BODY, incline_deg=8, tilt_model="slope", k_kg_m=30),
             Swim(BODY.replace(chest_girth_m=0.95), depth_m=0.5, age_years="15y", coefficients=REPLACED)]  # fmt: skip
    table = libdrag.sweep(swims, **FAULT, draws=100)
    assert table["age_years"].tolist() == pytest.approx([np.nan, np.nan, np.nan, 15], nan_ok=True)
    assert table["swimmer"].tolist() == ["", "Ada", "", ""]
    assert table["tilt_model"].tolist() == ["blend", "blend", "slope", "blend"]
    assert table["coefficients"].tolist() == ["", "", "", "tilt.slope=2+-0.5"]
    assert table["measured"].tolist() == ["", "", "", "chest_girth=0.95"]
    assert np.array_equal(table["incline_deg"], [np.nan, np.nan, 8, np.nan], equal_nan=True)
    assert np.array_equal(table["k_kg_m"], [np.nan, np.nan, 30, np.nan], equal_nan=True)
    assert table["depth_m"].tolist() == [0.0, 0.0, 0.0, 0.5]
    assert set(table["version"]) == {libdrag.__version__} and set(table["method"]) == {"planimetric"}
    one = libdrag.sweep(BODY, **FAULT, draws=100)
    assert not {"measured", "incline_deg", "k_kg_m", "depth_m", "head_lift_m"} & set(one.dtype.names)


def arrays_in(x):
    """Every array that a result hands out, and every list or dictionary that could be changed."""
    if isinstance(x, np.ndarray):
        yield x
    elif isinstance(x, dict):
        with pytest.raises(TypeError):
            x["new"] = 1
        with pytest.raises(TypeError):
            x.clear()
        for part in x.values():
            yield from arrays_in(part)
    elif isinstance(x, (tuple, libdrag.Motion, libdrag.HeadLift)):
        parts = x if isinstance(x, tuple) else [getattr(x, name) for name in x.__slots__]
        for part in parts:
            yield from arrays_in(part)
    assert not isinstance(x, list), x


# Only answers: a formula's array is its caller's own.
FORMULAS = ("Uncertain", "BreathShares", "Moved", "SpheroidAddedMass", "LungVolumes", "WaveResistance")


@BY_NAME
def test_nothing_that_a_result_hands_out_can_be_changed(value):
    if type(value).__name__ in FORMULAS:
        return
    if isinstance(value, Body):
        assert isinstance(value.flags, tuple)
        return
    for name in (n for n in dir(value) if not n.startswith("_") and not callable(getattr(value, n))):
        for array in arrays_in(getattr(value, name)):
            assert not array.flags.writeable, name
            with pytest.raises(ValueError):
                array[...] = array


def test_a_table_of_a_sweep_cannot_be_changed(grid):
    with pytest.raises(ValueError):
        grid["cost_s"][0, 0] = 0.0
    with pytest.raises(ValueError):
        grid["cautions"] = ""


@pytest.mark.parametrize("given, change", [
    (lambda: np.array([1.0, 1.5]), lambda x: x.__setitem__(0, 2.0)),
    (lambda: [[1.0], [1.5]], lambda x: x[0].__setitem__(0, 2.0)),
    (lambda: ([1.0], [1.5]), lambda x: x[0].__setitem__(0, 2.0)),
    (lambda: pint.Quantity(np.array([1.0, 1.5]), "m/s"), lambda x: x.magnitude.__setitem__(0, 2.0)),
    (lambda: np.broadcast_to(np.array([1.0, 1.5]), (2, 2)), lambda x: x.base.__setitem__(0, 2.0)),
], ids=["array", "lists", "tuple of lists", "quantity", "broadcast"])  # fmt: skip
def test_a_result_keeps_its_numbers(given, change):
    speeds = given()
    results = [libdrag.passive_drag(BODY, speeds, draws=200), libdrag.active_drag(BODY, speeds, draws=200)]
    before = [(r.k_kg_m.copy(), r.total_N.copy(), hash(r), r.to_records()) for r in results]
    lows = [f(BODY, given(), draws=200).low_N for f in (libdrag.passive_drag, libdrag.active_drag)]
    change(speeds)
    for r, (k, total, number, table), low in zip(results, before, lows):
        assert np.array_equal(r.k_kg_m, k) and np.array_equal(r.total_N, total) and hash(r) == number
        assert np.array_equal(r.low_N, low) and np.array_equal(r.to_records(), table)
    base = np.array([0.5, 0.5])
    weighted = Input.choice(base)
    base[0] = 99.0  # neither frozen nor looked at again
    assert weighted == Input.choice([0.5, 0.5])


# Outside what was measured: the sentence of `drag`, whoever asks.
@pytest.mark.parametrize("speed, incline, outside", [(3.9, 45, True), (1.5, 10, False), ([1.5, 3.9], 10, True),
                                                     (1.5, 30, True), (0.5, 5, True)])  # fmt: skip
def test_drag_warns_beyond_validity(speed, incline, outside):
    for function in (libdrag.passive_drag, libdrag.active_drag):
        result = function(BODY, speed, incline, draws=100)
        assert any("Outside the measured range" in c for c in result.cautions) == outside
        assert bool(np.all(result.within_validity)) != outside
        assert all(c in result._repr_html_() for c in result.cautions)
        if isinstance(speed, float):
            assert result.cautions == libdrag.drag(Swim(BODY, incline_deg=incline), speed, draws=100).cautions
        odd = function(Swimmer("<b>Ada", BODY), speed, draws=100)
        assert "<b>Ada" in repr(odd) and "script" not in well_formed(odd._repr_html_()).tags
        assert "&lt;b&gt;Ada" in odd._repr_html_()
    warm = libdrag.active_drag(Swim(BODY, water=libdrag.water(45)), 1.5)
    assert any("Water outside" in c for c in warm.cautions)


class MyBody(Body):
    """A body of the user's own kind."""


def test_equal_hashable_and_a_dictionary():
    for make in RESULTS.values():
        one, other, else_ = make(BODY), make(Body("f", 1.72, 63)), make(Body("m", 1.9, 90))
        assert one == other and hash(one) == hash(other) and len({one, other, else_}) == 2 and one != else_
    swim = Swim(BODY, water=libdrag.water(25), coefficients={"tilt.slope": [2.0, 0.5]}, posture="mid-stroke")
    assert swim == dataclasses.replace(swim) and len({swim, dataclasses.replace(swim)}) == 1
    plain = dataclasses.asdict(swim)
    assert list(plain) == [f.name for f in dataclasses.fields(Swim)] and plain["coefficients"] == REPLACED
    assert (
        plain["posture"]["arms"] == "mid-stroke"
        and plain["body"] == BODY
        and len(dataclasses.astuple(swim)) == 13
    )
    assert dataclasses.asdict(Belt(2.0)) == {"mass_kg": 2.0, "at_m": None}
    areas = {libdrag.Area([0.1, 0.2], "projected"), libdrag.Area([0.1, 0.2], "projected")}
    assert len(areas) == 1 and len({libdrag.water(27), libdrag.water(27.0)}) == 1
    assert libdrag.Area([0.1, 0.1], "projected") != libdrag.Area(0.1, "projected")
    assert len({BODY.posed(), Body("f", 1.72, 63).posed()}) == 1


def test_a_subclass_is_a_body():
    mine = MyBody("f", 1.72, 63)
    for make in RESULTS.values():
        assert make(mine) == make(BODY)
    assert type(mine.replace(mass_kg=64)) is MyBody and type(copy.copy(mine)) is MyBody
    assert repr(mine).startswith("MyBody(") and Swim(mine).body is mine
    assert libdrag.sweep([mine, Swimmer("Ada", BODY)], **FAULT, draws=100)["swimmer"].tolist() == ["", "Ada"]


def test_few_postures_are_kept():
    body = Body("f", 1.72, 63)
    for i in range(300):
        body.posed(incline_deg=0.1 * i)
    assert len(body._posed) <= 64
    assert body.posed() is body.posed()


def test_costs_are_a_table():
    costs = libdrag.cost(
        [BODY, GIRL], event="100 free", time_s=[[62.4], [90.0], [95.0]], hip_drop_deg=4, draws=100
    )
    assert costs.shape == (3, 2) and len(costs) == 3 and costs["cost_s"] is not None
    assert np.array_equal(costs["cost_s"], costs.median) and np.array_equal(costs.to_records(), costs.table)
    some = costs[1:, 0]
    assert some.shape == (2,) and some.draws.shape == (2, 100) and some.level == costs.level
    assert np.array_equal(some.median, costs.median[1:, 0]) and some.cautions == ()
    assert costs[0, 1].cautions == costs.cautions != () and costs[0, 1].shape == ()
    assert [row.shape for row in costs] == [(2,)] * 3 and costs[0] == next(iter(costs))
    assert len(libdrag.to_pandas(costs)) == 6 and libdrag.to_xarray(costs)["cost_s"].dims[0] == "time_s"
    with pytest.raises(libdrag.UnknownKey, match="unknown column 'cost'; one of sex"):
        costs["cost"]


def test_what_was_asked_is_kept_as_it_was():
    swims, days, times = np.array([4, 6]), [1, 2], np.array([62.4, 135.1])
    race = {"event": "100 free", "time_s": "1:02.40", "hip_drop_deg": "6cm"}
    plan = libdrag.design(body=BODY, **race, swims=swims, days=days, draws=1000)
    card = libdrag.card(BODY, event=["100 free", "200 free"], time_s=times, hip_drop_deg=4, draws=100)
    swims[0], times[0] = 99, 1.0
    days.append(3)
    assert plan.asked["swims"].tolist() == [4, 6] and plan.asked["days"] == (1, 2)
    assert plan.asked["time_s"] == 62.4 and plan.asked["hip_drop_deg"] == "6cm"
    assert card.asked["time_s"].tolist() == [62.4, 135.1] and card.asked["event"] == ("100 free", "200 free")
    for array in (plan.asked["swims"], card.asked["time_s"]):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 5


def test_messages_speak_python(tmp_path):
    path = tmp_path / "ada.json"
    ADA.save(path)
    with pytest.raises(libdrag.InvalidInput, match="a new file, or overwrite=True to replace it"):
        ADA.save(path)
    for call in (lambda: libdrag.advance(-70, 40, 25, 1.5, 0.3), lambda: libdrag.advance(70, 40, -25, 1.5, 0.3),
                 lambda: libdrag.advance(70, np.inf, 25, 1.5, 0.3), lambda: libdrag.swimmer_added_mass_kg(0.0),
                 lambda: libdrag.spheroid_added_mass(-1.0, 1.0)):  # fmt: skip
        with pytest.raises(libdrag.InvalidInput) as caught:
            call()
        assert "e+308" not in str(caught.value) and "e-308" not in str(caught.value)
    with pytest.raises(libdrag.InvalidInput, match="moving mass: got -70 kg; allowed: more than 0 kg"):
        libdrag.advance(-70, 40, 25, 1.5, 0.3)
    with pytest.raises(libdrag.InvalidInput, match="k: got -25 kg/m; allowed: 0 kg/m or more"):
        libdrag.advance(70, 40, -25, 1.5, 0.3)


# --- draws ------------------------------------------------------------------------------------------


def draws_of(name, **options):
    if name == "cost":
        return libdrag.cost(BODY, **FAULT, **options).draws
    if name == "drag":
        return libdrag.drag(BODY, 1.5, **options).draws["active_N"]
    if name == "drag with aids":
        return libdrag.drag(BODY, 1.5, aids=Tether(20), **options).draws["passive_N"]
    if name == "stroke":
        return libdrag.stroke(BODY, 1.5, hip_drop_deg=4, **options).draws["full_over_quasi_steady"]
    if name == "aids":
        return libdrag.aids(BODY, 1.5, Belt(2), **options).effects[0].draws
    options.pop("threads", None)
    if name == "costs":
        return libdrag.cost(BODY, **RACE, hip_drop_deg=[2, 4], **options).draws
    model = {"a": Input.normal(0, 1), "b": scipy.stats.gamma(2), "c": Input.choice([1, 2])}
    return libdrag.propagate(lambda x: x["a"] + x["b"] * x["c"], model, **options).draws


@pytest.mark.parametrize("name", ["cost", "costs", "drag", "drag with aids", "stroke", "aids", "propagate"])
def test_draws_follow_their_seed(name):
    want = draws_of(name, draws=1100, seed=3) if name != "stroke" else draws_of(name, draws=300, seed=3)
    n = want.shape[-1]
    assert want.dtype == float and np.isfinite(want).all() and len(np.unique(want)) > 100
    for threads in (1, 2, 5):
        assert np.array_equal(draws_of(name, draws=n, seed=3, threads=threads), want)
    assert not np.array_equal(draws_of(name, draws=n, seed=4), want)
    # a longer run begins with the draws of a shorter one; the interval is another question to the same draws
    assert np.array_equal(draws_of(name, draws=n - 77, seed=3), want[..., : n - 77])
    assert np.array_equal(draws_of(name, draws=n, seed=3, level=0.5), want)


# JCGM 101:2008, 7.7: the interval is that of the draws.
def test_intervals_are_those_of_the_draws():
    cost = libdrag.cost(BODY, **FAULT, draws=4000, level=0.9)
    assert cost.median == pytest.approx(np.median(cost.draws), rel=1e-3)
    assert [cost.low, cost.high] == pytest.approx(np.quantile(cost.draws, [0.05, 0.95]), rel=5e-3)
    assert libdrag.interval(cost.draws, level=0.9) == cost.cost_s
    drag = libdrag.drag(BODY, 1.5, draws=4000)
    assert libdrag.interval(drag.draws["passive_N"]) == drag.passive_N
    parts = [drag.draws[name] for name in ("friction_N", "pressure_N", "wave_N")]
    assert np.sum(parts, axis=0) == pytest.approx(drag.draws["passive_N"], rel=1e-12)


# Shares of the variance (Saltelli et al. 2008): what each input explains alone, and the rest together, is all
# of it.
def test_shares_add_up():
    cost = libdrag.cost(BODY, **FAULT, draws=4000)
    spread = libdrag.propagate(lambda x: x["a"] * x["b"] + x["c"],
                               {"a": Input.normal(1, 1), "b": Input.normal(1, 1), "c": Input.uniform(0, 1)},
                               draws=4000)  # fmt: skip
    for result in (cost, spread):
        shares = [part.share for part in result.because]
        assert sum(shares) + result.in_combination == pytest.approx(1.0, abs=1e-12)
        assert (
            shares == sorted(shares, reverse=True)
            and min(shares) >= 0.0
            and 0.0 <= result.in_combination <= 1.0
        )
        assert len({part.input for part in result.because}) == len(shares)
    drag = libdrag.drag(BODY, 1.5, draws=4000)
    for because in (drag.because_passive, drag.because_active):
        shares = [part.share for part in because]
        assert 0.5 < sum(shares) <= 1.0 + 1e-12 and shares == sorted(shares, reverse=True)


# --- coefficients -----------------------------------------------------------------------------------


def cost_with(coefficients, tilt_model="slope", **other):
    return libdrag.cost(
        Swim(BODY, tilt_model=tilt_model, coefficients=coefficients), **{**FAULT, **other}, draws=4000
    )


def test_another_slope():
    plain, steep = cost_with(None), cost_with({"tilt.slope": 6.5})
    # D = k (1 + s theta): drag grows by s / (1 + s theta0) for each degree, so less than twice as fast with
    # twice the slope.
    assert 1.3 * plain.median < steep.median < 2.0 * plain.median
    swim = Swim(BODY, tilt_model="slope", coefficients={"tilt.slope": 6.5})
    assert libdrag.tilt_ratio(swim, 10.0) == pytest.approx(1 + 10 * 0.065, rel=1e-12)
    assert libdrag.tilt_ratio(Swim(BODY, tilt_model="slope"), 10.0) == pytest.approx(
        1 + 10 * libdrag.sources()["tilt.slope"].used / 100, rel=1e-12
    )
    for model in ("projected", "damped", "crossflow"):  # which know no slope
        assert np.array_equal(cost_with({"tilt.slope": 6.5}, model).draws, cost_with(None, model).draws)
    # The published number in place of what the evidence leaves of it: its own spread, and no company.
    published = libdrag.sources()["tilt.slope"]
    assert published.value == 3.25 and published.used != 3.25
    assert cost_with({"tilt.slope": 3.25}).median == pytest.approx(plain.median, rel=0.05)
    assert cost_with({"tilt.slope": 3.25}, "slope").high > cost_with(None, "slope").high
    exact, drawn = cost_with({"tilt.slope": (3.25, 0.0)}, "slope"), cost_with({"tilt.slope": 3.25}, "slope")
    assert exact.high / exact.low < drawn.high / drawn.low


@pytest.mark.parametrize("key, factor, direction", [
    ("race.drag_exponent", 1.3, -1),  # the steeper drag grows with speed, the less speed is lost (eq. 11)
    ("breath.pulse_width.crawl", 1.5, +1),  # longer low hips
    ("race.start_underwater", 0.5, +1),  # more of the race at the surface
    ("race.turn_dead_time", 2.5, -1),  # less of it
    ("posture.incline.crawl", 2.0, -1),  # the same drop on more drag
])  # fmt: skip
def test_other_values_change_the_answer_the_right_way(key, factor, direction):
    value = libdrag.sources()[key].value
    assert direction * (cost_with({key: factor * value}).median - cost_with(None).median) > 0.002


def test_values_reach_all_results():
    replaced = {"resistance.passive.cd": 2 * libdrag.sources()["resistance.passive.cd"].value}
    rough = Swim(BODY, coefficients=replaced)
    assert libdrag.passive_drag(rough, 1.5).total_N > 1.5 * libdrag.passive_drag(BODY, 1.5).total_N
    assert (
        libdrag.drag(rough, 1.5, draws=500).passive_N.median
        > 1.5 * libdrag.drag(BODY, 1.5, draws=500).passive_N.median
    )
    shorts = Swim(BODY, coefficients={"aids.shorts.drag_area": 0.012})
    one, two = (
        libdrag.aids(who, 1.5, DragShorts(), draws=500).effects[0].drag_area_m2.median
        for who in (BODY, shorts)
    )
    assert two == pytest.approx(2 * one, rel=0.1)
    firm = Swim(BODY, coefficients={"balance.damping_ratio": 0.9})
    assert (
        libdrag.balance(firm, head_lift_deg=20).head.overshoot
        < libdrag.balance(BODY, head_lift_deg=20).head.overshoot
    )
    quick = Swim(BODY, coefficients={"stroke.rate.crawl": 104})
    assert libdrag.stroke(quick, 1.5, draws=100).without.period_s == pytest.approx(
        libdrag.stroke(BODY, 1.5, draws=100).without.period_s / 2
    )
    changed = libdrag.evidence(coefficients={"resistance.passive.cd": 0.9})
    plain = said("evidence")[0]
    assert changed.coverage < plain.coverage and len(changed.rows) == len(plain.rows)
    assert [row.measured for row in changed.rows] == [row.measured for row in plain.rows]


def test_unknown_values_are_refused():
    for call in (
        lambda c: libdrag.drag(Swim(BODY, coefficients=c), 1.5),
        lambda c: libdrag.evidence(coefficients=c),
    ):
        with pytest.raises(libdrag.UnknownKey, match="unknown source 'tilt.slop'; did you mean tilt.slope?"):
            call({"tilt.slop": 2})
        with pytest.raises(libdrag.InvalidInput, match="tilt.slope"):
            call({"tilt.slope": -5})
        with pytest.raises(libdrag.InvalidInput, match="tilt.slope sd"):
            call({"tilt.slope": (2, -1)})
        for wrong in (
            {"tilt.slope": (1, 2, 3)},
            {"tilt.slope": "steep"},
            {3: 2.0},
            ["tilt.slope"],
            {"tilt.slope": None},
        ):
            with pytest.raises((ValueError, TypeError)):
                call(wrong)


# Each row says whether it may be replaced and from where to where; what it says is so.
def test_sources_say_what_may_be_replaced():
    rows = libdrag.sources()
    for key, row in rows.items():
        if row.replaceable is None:
            with pytest.raises(libdrag.InvalidInput, match=key.replace(".", r"\.")):
                Swim(BODY, coefficients={key: row.value})
            continue
        low, high = row.replaceable
        assert low <= row.value <= high, key
        assert Swim(BODY, coefficients={key: row.value}).coefficients == {key: row.value}
        for outside in (low - 0.01 * (high - low), high + 0.01 * (high - low)):
            with pytest.raises(libdrag.InvalidInput, match=key.replace(".", r"\.")):
                Swim(BODY, coefficients={key: outside})
    frame = libdrag.to_pandas(rows)
    assert 0 < frame["replaceable_from"].isna().sum() < len(frame)


# What dragcalc refuses is refused by every function: no negative drag, no drag that falls as the hips sink.
@pytest.mark.parametrize(
    "key, value", [("tilt.slope", -5.0), ("resistance.passive.cd", -1.0), ("resistance.wave.share.1_0", 5.0)]
)
@pytest.mark.parametrize(
    "function", [libdrag.passive_drag, libdrag.active_drag, libdrag.drag], ids=lambda f: f.__name__
)
def test_values_that_cannot_be_are_refused(key, value, function):
    with pytest.raises(libdrag.InvalidInput, match=key):
        function(Swim(BODY, coefficients={key: value}), 1.5)


def test_a_slope_that_cannot_be_has_no_ratio():
    with pytest.raises(
        libdrag.InvalidInput, match="tilt.slope: got -5 %/deg; allowed: 0.01 %/deg to 20 %/deg"
    ):
        libdrag.tilt_ratio(Swim(BODY, coefficients={"tilt.slope": -5}), 5.0)


# --- propagate --------------------------------------------------------------------------------------

N = 20000


def within(got, want, error):
    """Within five standard errors."""
    assert abs(got - want) < 5 * error, (got, want, error)


# Exact moments and quantiles of the distributions (by definition); standard errors of a sample of N.
@pytest.mark.parametrize("given, exact", [
    (Input.normal(2.0, 0.5), scipy.stats.norm(2.0, 0.5)), (Input.uniform(-1.0, 3.0),
                                                           scipy.stats.uniform(-1.0, 4.0)),
    (scipy.stats.norm(2.0, 0.5), scipy.stats.norm(2.0, 0.5)), (scipy.stats.gamma(3.0),
                                                               scipy.stats.gamma(3.0)),
    (scipy.stats.expon(scale=2.0), scipy.stats.expon(scale=2.0)),
    (scipy.stats.beta(2, 5), scipy.stats.beta(2, 5)),
    (scipy.stats.triang(0.3), scipy.stats.triang(0.3)), (scipy.stats.lognorm(0.4), scipy.stats.lognorm(0.4)),
    (Input.normal(0.0, 1.0, -10.0, 10.0), scipy.stats.norm()),
], ids=lambda x: repr(x)[:30] if isinstance(x, Input) else x.dist.name)  # fmt: skip
def test_moments(given, exact):
    run = libdrag.propagate(lambda x: x["a"], {"a": given}, draws=N, level=0.9)
    mean, variance, skew, kurtosis = map(float, exact.stats("mvsk"))
    within(run.mean, mean, np.sqrt(variance / N))
    within(run.standard_uncertainty**2, variance, variance * np.sqrt((kurtosis + 2) / N))
    for got, p in ((run.low, 0.05), (run.median, 0.5), (run.high, 0.95)):
        within(got, exact.ppf(p), np.sqrt(p * (1 - p) / N) / exact.pdf(exact.ppf(p)))
    assert scipy.stats.kstest(run.draws, exact.cdf).pvalue > 1e-4
    # alone it explains all, as far as a cubic can follow its quantiles (Sudret 2008)
    assert run.because == (libdrag.Contribution("a", pytest.approx(1.0, abs=0.07)),) and run.level == 0.9


def test_choices_limits_and_numbers():
    run = libdrag.propagate(lambda x: x["a"], {"a": Input.choice([1, 0, 3])}, draws=N)
    assert set(run.draws) == {0.0, 2.0}
    within(np.mean(run.draws == 2.0), 0.75, np.sqrt(0.75 * 0.25 / N))
    run = libdrag.propagate(lambda x: x["a"], {"a": Input.normal(0, 1, -1.0, 0.5)}, draws=N)
    assert run.draws.min() == -1.0 and run.draws.max() == 0.5
    within(np.mean(run.draws == 0.5), scipy.stats.norm.sf(0.5), 0.005)
    within(np.mean(run.draws == -1.0), scipy.stats.norm.cdf(-1.0), 0.005)
    for exact in (Input.fixed(2.5), 2.5, np.float64(2.5)):
        run = libdrag.propagate(lambda x: x["a"] * x["b"], {"a": exact, "b": 2}, draws=100)
        assert (
            set(run.draws) == {5.0}
            and run.estimate == (5.0, 5.0, 5.0, 0.95)
            and run.standard_uncertainty == 0.0
        )


# y = 3 a + 4 b of unit normals: variances add, 9 to 16 (JCGM 100:2008, 5.1.2).
def test_variances_add():
    run = libdrag.propagate(
        lambda x: 3 * x["a"] + 4 * x["b"], {"a": Input.normal(0, 1), "b": Input.normal(0, 1)}, draws=N
    )
    within(run.standard_uncertainty, 5.0, 5.0 / np.sqrt(2 * N))
    assert [part.input for part in run.because] == ["b", "a"]
    assert [part.share for part in run.because] == pytest.approx(
        [16 / 25, 9 / 25], abs=0.05
    ) and run.in_combination < 0.05
    # the product of two of them: nothing alone, all of it together
    run = libdrag.propagate(
        lambda x: x["a"] * x["b"], {"a": Input.normal(0, 1), "b": Input.normal(0, 1)}, draws=N
    )
    assert run.in_combination > 0.9


# JCGM 101:2008, 5.3.4: of an exponential the shortest interval begins at nothing.
def test_the_shortest_interval():
    runs = [
        libdrag.propagate(lambda x: x["a"], {"a": scipy.stats.expon()}, draws=N, shortest=s)
        for s in (False, True)
    ]
    within(runs[0].low, -np.log(0.975), 0.003)
    assert runs[1].low < 0.002 and runs[1].high == pytest.approx(-np.log(0.05), rel=0.05)
    assert runs[1].high - runs[1].low < runs[0].high - runs[0].low and runs[0].median == runs[1].median
    assert libdrag.interval(runs[0].draws, shortest=True) == runs[1].estimate


def test_several_outputs():
    inputs = {"speed": Input.normal(1.5, 0.05), "area": Input.uniform(0.03, 0.04)}

    def model(x):
        return {"drag": 500 * x["speed"] ** 2 * x["area"], "k": 500 * x["area"], "one": 1.0}

    runs = libdrag.propagate(model, inputs, draws=1000, seed=9)
    assert list(runs) == ["drag", "k", "one"]
    for name, run in runs.items():
        alone = libdrag.propagate(lambda x, name=name: model(x)[name], inputs, draws=1000, seed=9)
        assert (
            np.array_equal(run.draws, alone.draws)
            and run.because == alone.because
            and run.estimate == alone.estimate
        )
    assert runs["one"].draws.shape == (1000,)
    # draws of one run belong together
    speed = np.sqrt(runs["drag"].draws / runs["k"].draws)
    assert np.corrcoef(speed, runs["drag"].draws)[0, 1] > 0.5


# "Draw i of input j depends on (seed, i, j) and on the input itself alone."
def test_other_inputs_do_not_change_the_draws():
    one = libdrag.propagate(lambda x: x["a"], {"a": Input.normal(0, 1)}, draws=1000)
    two = libdrag.propagate(
        lambda x: x["a"] + 0 * x["b"], {"a": Input.normal(0, 1), "b": Input.normal(5, 1)}, draws=1000
    )
    wide = libdrag.propagate(lambda x: x["a"], {"a": Input.normal(0, 2)}, draws=1000)
    assert np.array_equal(one.draws, two.draws) and np.allclose(wide.draws, 2 * one.draws, rtol=1e-12)


def test_blocks():
    sizes = []

    def model(x):
        sizes.append(len(x["a"]))
        assert isinstance(x, dict) and x["a"].dtype == float and x["a"].flags.writeable
        x["a"] *= 2.0  # the block is the model's own
        return x["a"]

    run = libdrag.propagate(model, {"a": Input.normal(0, 1)}, draws=1300)
    assert max(sizes) <= 512 and np.array_equal(
        run.draws, 2 * libdrag.propagate(lambda x: x["a"], {"a": Input.normal(0, 1)}, draws=1300).draws
    )
    assert run.because[0].share == pytest.approx(1.0, abs=1e-9)


class Mine(Exception):
    pass


# An error of the user's own function is the user's own.
@pytest.mark.parametrize("error", [Mine("line one\nline two"), ValueError("x"), KeyError("k"),
                                   ZeroDivisionError(), KeyboardInterrupt(),
                                   StopIteration(), SystemExit(3)],
                                   ids=lambda e: type(e).__name__)  # fmt: skip
@pytest.mark.parametrize("after", [0, 1, 3])
def test_errors_of_the_model_come_out_unchanged(error, after):
    calls = []

    def model(x):
        calls.append(1)
        if len(calls) > after:
            raise error
        return x["a"]

    with pytest.raises(type(error)) as caught:
        libdrag.propagate(model, {"a": Input.normal(0, 1)}, draws=3000)
    assert caught.value is error and len(calls) == after + 1
    assert any(entry.name == "model" for entry in caught.traceback)
    # and the next run is as good as the first
    assert libdrag.propagate(lambda x: x["a"], {"a": 1.0}, draws=100).median == 1.0


@pytest.mark.parametrize("answer, words", [
    (lambda x: np.append(x["a"], 1.0), ["model", "shape"]), (lambda x: x["a"][:1], ["model", "shape (1,)"]),
    (lambda x: x["a"][:, None], ["model", "shape"]), (lambda x: np.zeros((2, len(x["a"]))),
                                                      ["model", "shape"]),
    (lambda x: [], ["model", "shape (0,)"]), (lambda x: {}, ["model", "empty dictionary"]),
    (lambda x: {"y": x["a"], "z": x["a"][:1]}, ["model", "shape"]), (lambda x: None, ["model"]),
    (lambda x: "abc", ["model"]),
    (lambda x: 1j * x["a"], ["model"]), (lambda x: object(), ["model"]),
    (lambda x: np.array(["a"] * len(x["a"])), ["model"]),
])  # fmt: skip
def test_wrong_answers_of_the_model_are_refused(answer, words):
    with pytest.raises((libdrag.InvalidInput, TypeError)) as caught:
        libdrag.propagate(answer, {"a": Input.normal(0, 1)}, draws=1000)
    for word in words:
        assert word in str(caught.value)


def test_a_model_that_changes_its_mind_is_refused():
    calls = []

    def model(x):
        calls.append(1)
        return {"y": x["a"], "z": x["a"]} if len(calls) < 2 else {"y": x["a"]}

    with pytest.raises((libdrag.InvalidInput, TypeError, KeyError)):
        libdrag.propagate(model, {"a": Input.normal(0, 1)}, draws=1000)

    def other(x):
        calls.append(1)
        return {"y": x["a"], "z": -x["a"]} if len(calls) % 2 else {"z": -x["a"], "y": x["a"]}

    # Another order of the same names is no other answer; it may be refused, but never mixed up.
    try:
        runs = libdrag.propagate(other, {"a": Input.normal(0, 1)}, draws=3000)
    except libdrag.InvalidInput:
        return
    assert np.array_equal(runs["y"].draws, -runs["z"].draws)
    assert np.array_equal(
        runs["y"].draws, libdrag.propagate(lambda x: x["a"], {"a": Input.normal(0, 1)}, draws=3000).draws
    )


@pytest.mark.parametrize(
    "inputs, words",
    [
        (lambda: {}, "inputs"),
        (lambda: None, "inputs"),
        (lambda: [1, 2], "inputs"),
        (lambda: {"a": Input.normal(0, -1)}, "got -1; allowed: a finite standard deviation, 0 or more"),
        (lambda: {"a": Input.normal(0, np.nan)}, "nan"),
        (lambda: {"a": Input.normal(0, 1, 2, 1)}, ": got .*2"),
        (lambda: {"a": Input.uniform(2, 1)}, ": got .*2"),
        (lambda: {"a": Input.choice([])}, "weight"),
        (lambda: {"a": Input.choice([-1, 2])}, "got weight -1; allowed: finite weights, 0 or more"),
        (lambda: {"a": Input.choice([0, 0])}, "weight"),
        (lambda: {"a": Input.fixed(np.inf)}, "inf"),
        (lambda: {"a": "x"}, "a: got"),
    ],
)
def test_wrong_inputs_are_refused(inputs, words):
    with pytest.raises((libdrag.InvalidInput, TypeError), match=words):
        libdrag.propagate(lambda x: x["a"], inputs(), draws=100)


# --- the swimmer in a file --------------------------------------------------------------------------

ADA = Swimmer("Ada", Body("f", 1.7234567890123, 63.123456789, {"chest_girth": 0.9012345678,
                                                               "hip_girth": 0.98}),
              incline_deg=9.123456789, k_kg_m=28.3)  # fmt: skip


def same_swimmer(one, other):
    assert one.name == other.name and one.body == other.body
    assert (one.swim.incline_deg, one.swim.k_kg_m) == (other.swim.incline_deg, other.swim.k_kg_m)
    assert str(one) == str(other) and one.to_json() == other.to_json()


@pytest.mark.parametrize("swimmer", [ADA, Swimmer("no numbers of her own", BODY),
                                     Swimmer("Ω \"quoted\" \\ ☃ <b>", BODY, k_kg_m=30)],
                         ids=["all", "few", "odd name"])  # fmt: skip
def test_files_go_round(swimmer, tmp_path):
    path = tmp_path / "swimmer.json"
    swimmer.save(path)
    same_swimmer(libdrag.read_swimmer(path), swimmer)
    same_swimmer(libdrag.read_swimmer(str(path)), swimmer)
    assert dragcalc("body", "--swimmer", str(path)) == str(swimmer)
    assert dragcalc("body", "--swimmer", str(path), "--json") == swimmer.to_json()
    args = [
        "cost",
        "--event",
        "100 free",
        "--time",
        "1:02.40",
        "--hip-drop",
        "4deg",
        "--swimmer",
        str(path),
        "--json",
    ]
    typed, ours = json.loads(dragcalc(*args)), json.loads(libdrag.cost(swimmer.swim, **FAULT).to_json())
    assert typed["swimmer"]["name"] == swimmer.name == swimmer.swim.name
    assert typed == ours
    assert list(tmp_path.iterdir()) == [path]  # nothing is left beside it


def test_a_file_says_where_her_record_is(tmp_path, monkeypatch):
    (tmp_path / "girls").mkdir()
    monkeypatch.chdir(tmp_path)
    ada = Swimmer("Ada", BODY, record="squad.csv")
    assert ada.record == "squad.csv" and pickle.loads(pickle.dumps(ada)).record == "squad.csv"
    assert ADA.record == ""
    ada.save("girls/ada.json")
    assert json.loads(pathlib.Path("girls/ada.json").read_text())["record"] == "../squad.csv"
    assert os.path.normpath(libdrag.read_swimmer("girls/ada.json").record) == "squad.csv"
    with pytest.raises(TypeError):
        Swimmer("Ada", BODY, record=3)


def test_files_of_the_command_line(tmp_path):
    path = tmp_path / "kim.json"
    dragcalc("body", "--sex", "m", "--height", "5ft11in", "--mass", "170lb", "--dim", "chest_girth=102.3cm",
             "--incline", "8.5deg",
             "--k", "31kg/m", "--save", str(path))  # fmt: skip
    swimmer = libdrag.read_swimmer(path)
    assert swimmer.body.sex == "m" and swimmer.body.stature_m == pytest.approx(1.8034, rel=1e-9)
    assert swimmer.body.mass_kg == pytest.approx(170 * 0.45359237, rel=1e-9)
    assert (swimmer.body.measured, swimmer.swim.incline_deg, swimmer.swim.k_kg_m) == (
        {"chest_girth": 1.023},
        8.5,
        31.0,
    )


def test_files_are_not_overwritten_unasked(tmp_path):
    path = tmp_path / "ada.json"
    ADA.save(path)
    before = path.read_bytes()
    with pytest.raises(libdrag.InvalidInput, match="ada.json"):
        Swimmer("Eve", BODY).save(path)
    assert path.read_bytes() == before
    Swimmer("Eve", BODY).save(path, overwrite=True)
    assert libdrag.read_swimmer(path).name == "Eve"


@pytest.mark.parametrize("text, words", [
    ("", ["swimmer file"]), ("{", ["line 1"]), ("[]", ["swimmer file"]),
    ('{"stature": "172"}', ["without a unit"]),
    ('{"stature": "172cm", "mass": "63kg", "weight": 3}', ["weight"]),
    ('{"stature": "17m", "mass": "63kg"}', ["17 m"]),
    ('{"stature": "172cm"}', ["mass"]), ("\0\1\2", ["swimmer file"]),
])  # fmt: skip
def test_broken_files_are_refused_as_by_the_command_line(text, words, tmp_path):
    path = tmp_path / "x.json"
    path.write_text(text)
    with pytest.raises((libdrag.InvalidInput, libdrag.UnknownKey, TypeError)) as caught:
        libdrag.read_swimmer(path)
    done = subprocess.run([DRAGCALC, "body", "--swimmer", str(path)], capture_output=True, text=True)
    assert done.returncode == 2
    for word in words:
        assert word in str(caught.value) and word in done.stderr, (str(caught.value), done.stderr)
    if "mass" not in words:  # the option is called --mass
        assert done.stderr == f"dragcalc: {caught.value}\n"


# A name of bytes that are no UTF-8, as Python writes it (PEP 383), and folders that are none.
def test_odd_paths(tmp_path):
    odd = tmp_path / os.fsdecode(b"a\xff\xfe.json")
    ADA.save(odd)
    same_swimmer(libdrag.read_swimmer(odd), ADA)
    for wrong in (tmp_path, tmp_path / "no" / "such.json", odd / "below.json"):
        with pytest.raises(libdrag.InvalidInput):
            ADA.save(wrong)
        with pytest.raises(libdrag.InvalidInput):
            libdrag.read_swimmer(wrong)


def test_a_path_is_a_path(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    ADA.save(pathlib.Path("here.json"))
    same_swimmer(libdrag.read_swimmer("here.json"), ADA)
    for wrong in (None, 3, 3.5, ["here.json"], object()):
        with pytest.raises((TypeError, ValueError)):
            ADA.save(wrong)
        with pytest.raises((TypeError, ValueError)):
            libdrag.read_swimmer(wrong)
    assert os.listdir(tmp_path) == ["here.json"]


# --- cautions ---------------------------------------------------------------------------------------

FEW = "Swimming on few breaths"
HELD = "Never hold the breath"
WEIGHT = "Worn weight"
CHILD = "child-sized"
GIRL, GIRL_WHO = Body("f", 1.35, 32), ["--sex", "f", "--height", "135cm", "--mass", "32kg"]
RUN = ["--draws", "200"]


def case(name, who, args, **kwargs):
    """A result and the command line's answer to the same question."""
    typed = GIRL_WHO if who is GIRL else WHO
    race = ["--event", "100 free", "--time", "1:02.40", *typed, *args]
    if name == "cost":
        return libdrag.cost(who, **FAULT, draws=200, **kwargs), ["cost", *race, "--hip-drop", "4deg", *RUN]
    if name == "wanted":
        return libdrag.wanted_gain(who, 0.1, **FAULT, draws=200, **kwargs), [
            "cost",
            *race,
            "--hip-drop",
            "4deg",
            "--want",
            "0.1s",
            *RUN,
        ]
    if name == "implied":
        return libdrag.implied_hip_drop(who, 62.0, **RACE, draws=200, **kwargs), [
            "cost",
            *race,
            "--time-without",
            "1:02",
            *RUN,
        ]
    if name == "drag":
        return libdrag.drag(who, 1.5, draws=200, **kwargs), ["drag", *typed, *args, "--speed", "1.5mps", *RUN]
    if name == "stroke":
        return (libdrag.stroke(who, 1.5, hip_drop_deg=4, draws=200, **kwargs),
                ["stroke", *typed, *args, "--speed", "1.5mps", "--hip-drop", "4deg", *RUN])  # fmt: skip
    if name == "balance":
        return libdrag.balance(who, head_lift_deg=20, **kwargs), [
            "balance",
            *typed,
            *args,
            "--head-lift",
            "20deg",
        ]
    if name == "aids":
        worn = ([kwargs.pop("aids")] if "aids" in kwargs else []) + [Tether(20)]
        return (libdrag.aids(who, 1.5, worn, draws=200, **kwargs),
                ["aids", *typed, *args, "--speed", "1.5mps", "--tether", "20N", *RUN])  # fmt: skip
    assert name == "body"
    return who, ["body", *typed]


# Safety first: what is said of few breaths, of worn weight and of children is said in every report that they
# are in.
WARNED = [
    *((name, BODY, ["--breathe", "every-6"], {"breathe": "every-6"}, FEW)
      for name in ("cost", "wanted", "implied", "stroke", "balance", "aids")),
    *((name, BODY, ["--breathe", "never"], {"breathe": "never"}, HELD) for name in ("cost", "wanted",
                                                                                    "stroke")),
    *((name, BODY, ["--belt", "2kg"], {"aids": Belt(2)}, WEIGHT)
      for name in ("cost", "wanted", "drag", "stroke", "balance", "aids")),
    *((name, GIRL, [], {}, CHILD) for name in ("cost", "wanted", "implied", "drag", "stroke", "balance",
                                               "aids", "body")),
]  # fmt: skip


@pytest.mark.parametrize("name, who, args, kwargs, words", WARNED, ids=[f"{w[0]} {w[4]}" for w in WARNED])
def test_cautions_are_said(name, who, args, kwargs, words):
    result, typed = case(name, who, args, **kwargs)
    said_there = dragcalc(*typed)
    assert str(result) == said_there
    listed = result.flags if name == "body" else result.cautions
    assert any(words in caution for caution in listed), listed
    html = re.sub(r"\s+", " ", " ".join(well_formed(result._repr_html_()).cells))
    for caution in listed:
        assert caution in re.sub(r"\s+", " ", said_there) and caution in html
        assert caution in texts_of(json.loads(result.to_json()))


AGED = ["cost", "wanted", "implied", "drag", "stroke", "balance", "aids"]


# A child of an adult's size is known by her age alone, said with the swim or with what she is made of.
@pytest.mark.parametrize("name", AGED)
def test_a_child_is_known_by_age(name):
    young = libdrag.Swim(BODY, age_years=14)
    result, typed = case(name, young, ["--age", "14"])
    assert str(result) == dragcalc(*typed)
    assert any("A child or youth" in caution for caution in result.cautions)
    assert not any("A child or youth" in caution for caution in case(name, BODY, [])[0].cautions)
    if name not in ("implied",):
        said, _ = case(name, BODY, [], composition=Composition(age_years=14))
        assert any("A child or youth" in caution for caution in said.cautions)
        with pytest.raises(libdrag.InvalidInput, match="^age: got 15.0; allowed: the swimmer's, 14.0$"):
            case(name, young, [], composition=Composition(age_years=15))


@pytest.mark.parametrize("name", AGED)
def test_a_name_heads_every_answer(name, tmp_path):
    path = tmp_path / "ada.json"
    ADA_BY_NAME = libdrag.Swimmer("Ada", BODY)
    ADA_BY_NAME.save(path)
    result, typed = case(name, ADA_BY_NAME, ["--swimmer", str(path)])
    assert str(result) == dragcalc(*typed) and "Ada" in str(result)
    assert json.loads(result.to_json()) == json.loads(dragcalc(*typed, "--json"))
    assert json.loads(result.to_json())["swimmer"]["name"] == result.asked["swimmer"] == "Ada"


def texts_of(tree):
    """Every text of a JSON tree."""
    if isinstance(tree, str):
        return [tree]
    parts = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else []
    return [text for part in parts for text in texts_of(part)]


def test_no_caution_without_need():
    for name in ("cost", "wanted", "implied", "drag", "stroke", "balance", "aids", "body"):
        result, typed = case(name, BODY, [])
        listed, words = result.flags if name == "body" else result.cautions, dragcalc(*typed)
        # Two times always go with how the second is swum; the aids tested here hang on a line.
        due = {"implied": ["never by holding the breath"], "aids": ["Resistance and tether lines"]}.get(
            name, []
        )
        assert len(listed) == len(due) and all(text in caution for text, caution in zip(due, listed))
        assert words.count("  Caution ") == len(due)


def test_cautions_of_many():
    costs = libdrag.cost([BODY, GIRL], event="100 free", time_s=[62.4, 90.0], hip_drop_deg=4,
                         breathe=["every-6", "every-2"],
                         aids=Belt(2), draws=100)  # fmt: skip
    for words in (FEW, WEIGHT, CHILD):
        assert sum(words in caution for caution in costs.cautions) == 1
        assert words in " ".join(well_formed(costs._repr_html_()).cells)
    each = costs.table["cautions"]  # of each race its own
    assert (
        FEW in each[0]
        and FEW not in each[1]
        and CHILD in each[1]
        and CHILD not in each[0]
        and all(WEIGHT in row for row in each)
    )
    for i in range(2):
        alone = libdrag.cost([BODY, GIRL][i], event="100 free", time_s=[62.4, 90.0][i], hip_drop_deg=4,
                             breathe=["every-6", "every-2"][i], aids=Belt(2), draws=100)  # fmt: skip
        assert all(caution in each[i] for caution in alone.cautions) and alone.cautions
    table = libdrag.sweep([BODY, GIRL], event="100 free", time_s=[62.4, 90.0], hip_drop_deg=4, draws=100)
    assert [CHILD in row for row in table["cautions"]] == [False, True]


# --- a squad as a data frame ------------------------------------------------------------------------

FRAME = pd.DataFrame(
    {
        "name": ["Mia", "Ben", "Anna", None],
        "sex": ["f", "m", "f", "f"],
        "stature_m": [1.68, 1.85, 1.72, None],
        "mass_kg": [58, 80, 63, None],
        "event": ["200 free", "100 fly", "100 free", "50 free"],
        "time_s": [135.1, 58.3, "1:02.40", 30.0],
        "hip_drop_deg": [3.5, 60.0, 4.0, 3.0],
    },
    index=["d", "c", "b", "a"],
)
TITLES = {"stature_m": "height (m)", "mass_kg": "mass (kg)", "time_s": "time (s)", "hip_drop_deg": "hip drop (deg)",
          "steady_drop_deg": "steady drop (deg)"}  # fmt: skip
STEADY = FRAME.assign(steady_drop_deg=2.0)


def by_the_command_line(frame, tmp_path, *args):
    path = tmp_path / "squad.csv"
    frame.rename(columns=TITLES).to_csv(path, index=False)
    done = subprocess.run([DRAGCALC, *args, "--squad", str(path), "--csv"], capture_output=True, text=True)
    return pd.read_csv(
        io.StringIO(done.stdout), keep_default_na=False, na_values=[""], float_precision="round_trip"
    )


@pytest.mark.parametrize("question, frame", [("cost", FRAME), ("compare", STEADY), ("card", FRAME)])
def test_a_data_frame_is_the_squad_of_the_command_line(question, frame, tmp_path):
    """The same rows in the same order with the same numbers; one bad row has its reason and spoils no other."""
    out = {"out": tmp_path / "here"} if question == "card" else {}
    given = frame.copy()
    table = getattr(libdrag, question)(frame, draws=500, **out)
    pd.testing.assert_frame_equal(frame, given)
    assert list(table.index) == list("dcba")
    assert list(table["error"].notna()) == [False, True, False, False]
    assert "row 3 of the data frame (Ben)" in table["error"]["c"] and "60 deg" in table["error"]["c"]
    there = by_the_command_line(
        frame, tmp_path, question, "--draws", "500", *(["--out", str(tmp_path / "there")] if out else [])
    )
    assert len(there) == len(table) and list(there.columns) == list(table.columns)
    for column in set(table.columns) - {"error"}:
        for one, other in zip(table[column], there[column]):
            assert one == other or (pd.isna(one) and pd.isna(other)) or str(one) == str(other), column
    if out:
        here, other = (tmp_path / "here", tmp_path / "there")
        assert sorted(os.listdir(here)) == sorted(os.listdir(other)) and (here / "2-mia.html").exists()
        assert (here / "2-mia.html").read_bytes() == (other / "2-mia.html").read_bytes()


def test_a_row_of_a_frame_costs_what_the_swimmer_alone_does():
    table = libdrag.cost(FRAME, draws=500)
    alone = libdrag.cost(Body("f", 1.72, 63), event="100 free", time_s="1:02.40", hip_drop_deg=4, draws=500)
    row = table.loc["b"]
    assert (row["cost_s"], row["cost_low_s"], row["cost_high_s"]) == alone.cost_s[:3]
    worn = libdrag.cost(
        FRAME, aids=[Belt(2), Snorkel()], composition=Composition(fat_percent=20), draws=500
    ).loc["b"]
    assert worn["error"] != worn["error"] and worn["cost_s"] == 0.0  # no breath lifts the head


def test_what_a_row_of_a_frame_does_not_say_the_call_does():
    frame = pd.DataFrame({"name": ["Mia", "Anna"], "hip_drop_deg": [3, None]})
    table = libdrag.cost(frame, event="100 free", time_s=62.4, hip_drop_deg=4, breathe="every-3", draws=500)
    assert np.allclose(table["hip_drop_deg"], [3.0, 4.0]) and set(table["breathing"]) == {"every-3"}
    assert table["cost_s"][0] < table["cost_s"][1]


def test_columns_of_a_frame_that_nobody_reads_are_named():
    table = libdrag.cost(FRAME.assign(lane=4, heat_2="A"), draws=200)
    assert table.attrs["notes"] == ("Not read: lane, heat 2.",)
    assert libdrag.cost(FRAME, draws=200).attrs["notes"] == ()
    refused = libdrag.cost(STEADY, draws=200)
    assert all("that cost reads" in words for words in refused["error"].drop("c"))
    assert list(refused.index) == list("dcba")


def test_odd_frames():
    ages = FRAME.assign(age_years=[12.0, 30.0, 17.0, None])
    table = libdrag.cost(ages, draws=200)
    assert "A child or youth" in table["cautions"]["d"] and list(table["error"].notna()) == [
        False,
        True,
        False,
        False,
    ]
    dated = libdrag.cost(FRAME.assign(name=["007", "1", "NA", "x" * 300]), draws=200)
    assert list(dated["name"])[:3] == ["007", "1", "NA"]
    empty = libdrag.cost(
        pd.DataFrame({"event": ["100 free", None], "time_s": [62.4, None], "hip_drop_deg": [4, None]}),
        draws=200,
    )
    assert list(empty["error"].notna()) == [False, True] and "event" in empty["error"][1]
    for wrong in (FRAME.iloc[:0], pd.DataFrame({"lane": [1]}), pd.concat([FRAME, FRAME[["time_s"]]], axis=1)):
        with pytest.raises(libdrag.InvalidInput):
            libdrag.cost(wrong, draws=200)


# --- a card -----------------------------------------------------------------------------------------


def test_a_card_is_that_of_the_command_line(tmp_path):
    """The page, the picture, JSON and CSV: the same bytes."""
    asked = {
        "event": ["100 free", "200 free"],
        "time_s": ["1:02.40", "2:15.10"],
        "hip_drop_deg": 4,
        "breathe": "every-2",
    }
    hers = libdrag.card(BODY, **asked, aids=Belt(2), date="2026-11-26", draws=500)
    args = ["card", *WHO, "--event", "100 free", "--time", "1:02.40", "--event", "200 free", "--time", "2:15.10",
            "--hip-drop", "4deg", "--breathe", "every-2", "--belt", "2kg", "--date", "2026-11-26", "--draws", "500"]  # fmt: skip
    for name in ("card.html", "card.svg"):
        dragcalc(*args, "--out", str(tmp_path / name))
        hers.save(tmp_path / f"my-{name}")
        assert (tmp_path / f"my-{name}").read_bytes() == (tmp_path / name).read_bytes()
    assert hers.html == (tmp_path / "card.html").read_text(encoding="utf-8")
    assert hers.to_json() == dragcalc(*args, "--json") and hers.to_csv() == dragcalc(*args, "--csv")
    assert [race.event for race in hers.races] == ["100 m freestyle", "200 m freestyle"]
    assert hers.low_area_m2 > hers.level_area_m2 and hers.picture().svg == hers.svg
    assert str(hers).splitlines()[0].strip().startswith("Athlete")


def test_a_card_by_her_record(tmp_path):
    hers = libdrag.card(BODY, **RACE, record=SEASON, name="Mia", date="2026-11-30", draws=2000)
    args = ["card", *WHO, "--event", "100 free", "--time", "62.4s", "--record", SEASON, "--name", "Mia", "--date",
            "2026-11-30", "--draws", "2000"]  # fmt: skip
    assert hers.to_json() == dragcalc(*args, "--json")
    assert json.loads(hers.to_json())["progress"] is not None and "Mia" in hers.html


def test_a_card_is_kept_unless_it_may_be_replaced(tmp_path):
    hers = libdrag.card(BODY, **FAULT, date="2026-11-26", draws=200)
    place = tmp_path / "card.html"
    place.write_text("mine")
    with pytest.raises(libdrag.InvalidInput, match="exists.*overwrite=True"):
        hers.save(place)
    assert place.read_text() == "mine"
    hers.save(place, overwrite=True)
    assert place.read_text(encoding="utf-8") == hers.html
    for name in ("card.pdf", "card"):
        with pytest.raises(libdrag.InvalidInput, match="ends in .html"):
            hers.save(tmp_path / name)
    for extra in ({"out": tmp_path}, {"overwrite": True}):
        with pytest.raises(libdrag.InvalidInput, match="without a data frame"):
            libdrag.card(BODY, **FAULT, draws=200, **extra)
    assert sorted(os.listdir(tmp_path)) == ["card.html"]
