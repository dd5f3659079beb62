"""One table of cases by three faces: the C++ library (faces.cpp), the command line tool, and Python. Every number must
be the same to the last bit, every word and caution the same: all three call the same functions."""

import json
import os
import subprocess
from pathlib import Path

import numpy as np
import pytest

import libdrag

HERE = Path(__file__).parent
CASES = json.loads((HERE / "cases.json").read_text())


@pytest.fixture(scope="session")
def cpp():
    return json.loads(
        subprocess.run([os.environ["FACES"], HERE / "cases.json"], check=True, capture_output=True).stdout
    )


def dragcalc(*args):
    done = subprocess.run(
        [os.environ["DRAGCALC"], *map(str, args)], capture_output=True, text=True, timeout=1200
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def who_options(name):
    given = CASES["swimmers"][name]
    out = ["--sex", given["sex"], "--height", f"{given['stature_m']}m", "--mass", f"{given['mass_kg']}kg"]
    for dimension, value in given.get("measured", {}).items():
        out += ["--dim", f"{dimension}={value}m"]
    return out


def body(name):
    return libdrag.Body(**CASES["swimmers"][name])


def swim(case):
    fields = {k: case[k] for k in ("stroke", "method", "tilt_model", "incline_deg", "depth_m") if k in case}
    water = libdrag.water(case["temperature_c"]) if "temperature_c" in case else None
    return libdrag.Swim(body(case["who"]), water=water, **fields)


def monte_carlo(case):
    return {k: case[k] for k in ("draws", "seed", "level") if k in case}


def numbered(kind):
    return [pytest.param(i, case, id=f"{kind}-{i}") for i, case in enumerate(CASES[kind])]


@pytest.mark.parametrize("i, name", numbered("body"))
def test_body(cpp, i, name):
    b, c = body(name), cpp["body"][i]
    j = json.loads(dragcalc("body", *who_options(name), "--json"))
    for key in ("length_m", "volume_m3", "wetted_area_m2", "planform_area_m2", "shoulder_hip_m"):
        assert getattr(b, key) == c[key] == j[key]
    assert b.projected_area_m2() == c["arms_overhead"] == j["projected_area_m2"]["arms_overhead"]
    sides = b.projected_area_m2(posture="arms-at-sides")
    assert sides == c["arms_at_sides"] == j["projected_area_m2"]["arms_at_sides"]
    for key, row in b.dimensions.items():
        listed = j["dimensions"][key]
        assert [row["value_m"], row["sd_m"]] == c["dimensions"][key] == [listed["value_m"], listed["sd_m"]]
    assert str(b) == dragcalc("body", *who_options(name))


@pytest.mark.parametrize("i, case", numbered("drag"))
def test_drag(cpp, i, case):
    c, s = cpp["drag"][i], swim(case)
    options = ["--speed", f"{case['speed_m_s']}mps", *who_options(case["who"])]
    for key, option, unit in (
        ("stroke", "--stroke", ""),
        ("method", "--method", ""),
        ("tilt_model", "--tilt-model", ""),
        ("incline_deg", "--incline", "deg"),
        ("depth_m", "--depth", "m"),
        ("temperature_c", "--temperature", "C"),
    ):
        if key in case:
            options += [option, f"{case[key]}{unit}"]
    j = json.loads(dragcalc("drag", *options, "--json"))
    passive, active = libdrag.passive_drag(s, case["speed_m_s"]), libdrag.active_drag(s, case["speed_m_s"])
    for key in ("total_N", "friction_N", "pressure_N", "wave_N"):
        assert getattr(passive, key) == c[key] == j["passive"][key]
    assert active.total_N == c["active_N"] == j["active"]["total_N"]
    for drag, key in ((passive, "passive"), (active, "active")):
        ours = [drag.median_N, drag.low_N, drag.high_N]
        assert ours == c[key][:3] == [j[key][k] for k in ("median_N", "low_N", "high_N")]
        assert drag.k_kg_m == j[key]["k_kg_m"]
    whole = libdrag.drag(s, case["speed_m_s"])
    assert list(whole.passive_N) == c["passive"] and list(whole.active_N) == c["active"]
    assert str(whole) == dragcalc("drag", *options)


@pytest.mark.parametrize("i, case", numbered("cost"))
def test_cost(cpp, i, case):
    c = cpp["cost"][i]
    race = {k: v for k, v in case.items() if k != "who"}
    options = [*who_options(case["who"])]
    for key, value in race.items():
        if key == "within_stroke":
            options += ["--within-stroke"] * value
            continue
        unit = {"time_s": "s", "hip_drop_deg": "deg", "hip_drop_m": "m", "head_lift_m": "m"}.get(key, "")
        name = {
            "time_s": "time",
            "hip_drop_deg": "hip-drop",
            "hip_drop_m": "hip-drop",
            "head_lift_m": "head-lift",
        }
        options += [f"--{name.get(key, key)}", f"{value}{unit}"]
    result = libdrag.cost(body(case["who"]), **race)
    whole = json.loads(dragcalc("cost", *options, "--json"))
    j = whole["events"][0]
    for key in ("cost_s", "per_degree_s", "drag_change", "hips_s", "head_s"):
        ours = list(getattr(result, key))
        assert ours == c[key] == [j[key][k] for k in ("median", "low", "high", "level")]
    ratio = result.full_over_quasi_steady
    assert (None if ratio is None else list(ratio)) == c["full_over_quasi_steady"]
    assert (ratio is None) == ("within_stroke" not in case)
    assert [result.median, result.low, result.high] == c["cost_s"][:3]
    for key in ("mean_hip_drop_deg", "priced_share", "cautions", "notes"):
        ours = getattr(result, key)
        assert (list(ours) if isinstance(ours, tuple) else ours) == c[key] == j[key]
    assert [list(part) for part in result.because] == c["because"]
    assert [list(part) for part in result.because] == [
        [part["input"], part["share"]] for part in j["because"]
    ]
    assert (result.draws[0], result.draws[-1]) == (c["first_draw"], c["last_draw"])
    assert str(result) == dragcalc("cost", *options)
    assert json.loads(result.to_json()) == whole
    # The same race as one of many: another path through the same function.
    many = libdrag.cost([body(case["who"])] * 2, **race)
    assert many.median[0] == many.median[1] == result.median
    assert np.array_equal(many.draws[1], result.draws)


UNITS = {"speed_m_s": "mps", "hip_drop_deg": "deg", "hip_drop_m": "m", "head_lift_m": "m", "belt_kg": "kg"}


def typed(case):
    """The case as options of the command line."""
    out = who_options(case["who"])
    for key, value in case.items():
        if key == "who":
            continue
        name = key.replace("speed_m_s", "speed").removesuffix("_deg").removesuffix("_m").removesuffix("_kg")
        out += [f"--{name.replace('_', '-')}", f"{value}{UNITS.get(key, '')}"]
    return out


@pytest.mark.parametrize("i, case", numbered("stroke"))
def test_stroke(cpp, i, case):
    rest = {k: v for k, v in case.items() if k not in ("who", "stroke")}
    result = libdrag.stroke(swim(case), **rest)
    for key in ("centre_of_mass_cv", "full_over_quasi_steady"):
        assert list(getattr(result, key)) == cpp["stroke"][i][key]
    assert str(result) == dragcalc("stroke", *typed(case))
    j = json.loads(dragcalc("stroke", *typed(case), "--json"))
    assert json.loads(result.to_json()) == j
    assert list(result.notes) == j["notes"] and list(result.cautions) == j["cautions"]


@pytest.mark.parametrize("i, name", numbered("balance"))
def test_balance(cpp, i, name):
    result, c = libdrag.balance(body(name)), cpp["balance"][i]
    assert result.centre_of_buoyancy_m == c["centre_of_buoyancy_m"]
    assert result.immersion_m == c["immersion_m"]
    assert result.still_moment_N_m[0] == c["still_moment_N_m"]
    assert result.stiffness_N_m_per_deg[0] == c["stiffness_N_m_per_deg"]
    assert str(result) == dragcalc("balance", *who_options(name))


@pytest.mark.parametrize("i, case", numbered("aids"))
def test_aids(cpp, i, case):
    fault = {k: v for k, v in case.items() if k in ("hip_drop_deg", "head_lift_m")}
    result = libdrag.aids(body(case["who"]), case["speed_m_s"], [libdrag.Belt(case["belt_kg"])], **fault)
    for key in ("breath_penalty_ratio", "incline_change_deg"):
        assert list(getattr(result.effects[0], key)) == cpp["aids"][i][key]
    assert str(result) == dragcalc("aids", *typed(case))


def written(tmp_path, case):
    """The drops of some days in a record, as the command line writes them."""
    path = str(tmp_path / "squad.csv")
    for day, drop in zip(case["days"], case["drops_deg"]):
        dragcalc(
            "log",
            path,
            "--name",
            "Mia",
            "--kind",
            "drop",
            "--date",
            day,
            "--drop",
            f"{drop}deg",
            "--side",
            "both",
        )
    return path


def intervals(j):
    """What JSON has as an interval, as a list."""
    return None if j is None else [j[k] for k in ("median", "low", "high")]


def run_options(case):
    return [x for k in ("draws", "seed", "level") if k in case for x in (f"--{k}", str(case[k]))]


@pytest.mark.parametrize("i, case", numbered("angle"))
def test_angle(cpp, i, case):
    marks = ("shoulder", "hip", "without_shoulder", "without_hip")
    who = {"body": body(case["who"])} if "who" in case else {}
    options = [x for k in marks for x in (f"--{k.replace('_', '-')}", ",".join(map(str, case[k])))]
    options += ["--side", case.get("side", "toward"), *run_options(case)]
    options += who_options(case["who"]) if who else []
    result = libdrag.angle(breaths=libdrag.Frame(case["shoulder"], case["hip"]),
                           without=libdrag.Frame(case["without_shoulder"], case["without_hip"]),
                           side=case.get("side"), **who, **monte_carlo(case))  # fmt: skip
    j, c = json.loads(dragcalc("angle", *options, "--json")), cpp["angle"][i]
    for key in ("incline_deg", "hip_drop_deg", "hip_depth_m"):
        ours = getattr(result, key)
        assert (ours and list(ours)) == c[key] and (ours and list(ours[:3])) == intervals(j.get(key))
    assert str(result) == dragcalc("angle", *options)


@pytest.mark.parametrize("i, case", numbered("glide"))
def test_glide(cpp, i, case):
    points = ",".join(f"{t}s:{x}m" for t, x in zip(case["time_s"], case["distance_m"]))
    options = ["--points", points, "--held", f"{case.get('held_deg', 0)}deg", *who_options(case["who"])]
    options += run_options(case)
    her = libdrag.Glide(case["time_s"], case["distance_m"], held_deg=case.get("held_deg", 0))
    result = libdrag.glide(body(case["who"]), her, **monte_carlo(case))
    j = json.loads(dragcalc("glide", *options, "--json"))
    for key in ("k_kg_m", "drag_area_m2"):
        assert list(getattr(result, key)) == cpp["glide"][i][key]
        assert list(getattr(result, key)[:3]) == intervals(j[key])
    assert str(result) == dragcalc("glide", *options)


@pytest.mark.parametrize("i, case", numbered("loaded"))
def test_loaded(cpp, i, case):
    options = run_options(case)
    for key, unit in (("free_m_s", "m/s"), ("loaded_m_s", "m/s"), ("load_N", "N"), ("tow_N", "N")):
        if key in case:
            listed = case[key] if isinstance(case[key], list) else [case[key]]
            options += [f"--{key.split('_')[0]}", ",".join(f"{x}{unit}" for x in listed)]
    result = libdrag.loaded(**case)
    j = json.loads(dragcalc("loaded", *options, "--json"))
    for key in ("drag_N", "k_kg_m"):
        assert list(getattr(result, key)) == cpp["loaded"][i][key]
        assert list(getattr(result, key)[:3]) == intervals(j[key])
    assert str(result) == dragcalc("loaded", *options)


@pytest.mark.parametrize("i, case", numbered("progress"))
def test_progress(cpp, i, case, tmp_path):
    path, c = written(tmp_path, case), cpp["progress"][i]
    race = {k: case[k] for k in ("event", "time_s") if k in case}
    options = (
        [path, *who_options(case["who"]), "--event", case["event"], "--time", f"{case['time_s']}s"]
        if race
        else [path]
    )
    who = {"body": body(case["who"])} if race else {}
    result = libdrag.progress(path, **who, **race)
    j = json.loads(dragcalc("progress", *options, "--json"))
    for key in ("per_week_deg", "change_s"):
        ours = getattr(result, key)
        assert (ours and list(ours)) == c[key] and (ours and list(ours[:3])) == intervals(j.get(key))
    assert result.closing == c["closing"] == j["closing"] and result.verdict == c["verdict"] == j["verdict"]
    assert str(result) == dragcalc("progress", *options)


@pytest.mark.parametrize("i, case", numbered("watch"))
def test_watch(cpp, i, case):
    swims = [libdrag.TimedSwim(how, time) for how, time in zip(case["how"], case["time_s"])]
    result = libdrag.watch(libdrag.PoolTest("2026-11-25", swims, distance_m=25))
    for key, value in cpp["watch"][i].items():
        assert getattr(result, key) == value


def test_the_record_is_one_for_both(tmp_path):
    """A row of Python's is that of the command line, byte for byte, and both read it as it was meant."""
    ours, theirs = str(tmp_path / "ours.csv"), str(tmp_path / "theirs.csv")
    day = {"date": "2026-11-25"}
    done = libdrag.append_to_record(ours, "Mia", how=["snorkel", "every-2"], distance_m=25, time_s=[14.32, "14.60"],
                                    strokes=[14, 15], set="1", **day)  # fmt: skip
    said = dragcalc("log", theirs, "--name", "Mia", "--how", "snorkel", "--how", "every-2", "--distance", "25m",
                    "--time", "14.32", "--time", "14.60", "--strokes", "14", "--strokes", "15", "--set", "1",
                    "--date", "2026-11-25")  # fmt: skip
    assert str(done) == said.replace("theirs.csv", "ours.csv")
    libdrag.append_to_record(
        ours, "Mia", "drop", drop_m=0.06, drop_sd_m="2cm", side="both", note="new cap", **day
    )
    dragcalc("log", theirs, "--name", "Mia", "--kind", "drop", "--drop", "6cm", "--drop-sd", "2cm", "--side", "both",
             "--note", "new cap", "--date", "2026-11-25")  # fmt: skip
    libdrag.append_to_record(ours, "Mia", "glide", points=[(0.5, 1.1), ("1s", "2.0m")], drop_deg=8, **day)
    dragcalc("log", theirs, "--name", "Mia", "--kind", "glide", "--points", "0.5s:1.1m,1s:2.0m", "--drop", "8deg",
             "--date", "2026-11-25")  # fmt: skip
    for time, load in ((15.4, None), (17.6, 45)):
        libdrag.append_to_record(ours, "Mia", "loaded", time_s=time, distance_m=25, load_N=load, **day)
        options = ["--load", f"{load}N"] if load else []
        dragcalc("log", theirs, "--name", "Mia", "--kind", "loaded", "--time", time, "--distance", "25m", "--date",
                 "2026-11-25", *options)  # fmt: skip
    with open(ours) as one, open(theirs) as other:
        assert one.read() == other.read()
    record = libdrag.read_record(ours, "mia")
    (test,), (drop,), (glide,), (loaded,) = record.tests, record.drops, record.glides, record.loaded
    assert record.swimmer == "Mia" and not record.races and not record.films and not record.remarks
    assert [(s.how, s.time_s, s.order, s.strokes, s.row) for s in test.swims] == [
        ("snorkel", 14.32, 1, 14, 2), ("every-2", 14.6, 2, 15, 3)]  # fmt: skip
    assert (test.date, test.distance_m, test.by, test.stroke, test.set) == (
        "2026-11-25",
        25,
        "stopwatch",
        "crawl",
        "1",
    )
    assert (drop.drop_deg, drop.drop_m, drop.drop_sd_m, drop.side, drop.note) == (
        None,
        0.06,
        0.02,
        "both",
        "new cap",
    )
    assert glide.time_s.tolist() == [0.5, 1.0] and glide.distance_m.tolist() == [1.1, 2.0]
    assert glide.held_deg == pytest.approx(8, rel=1e-15)
    assert (loaded.load_N, loaded.free_s.tolist(), loaded.loaded_s.tolist()) == (45, [15.4], [17.6])
    again = libdrag.PoolTest(test.date, test.swims, distance_m=test.distance_m, by=test.by, set=test.set)
    assert again == test


def test_sources():
    listed = json.loads(dragcalc("sources", "--json"))
    rows = listed["sources"] if isinstance(listed, dict) else listed
    table = libdrag.sources()
    assert len(rows) == len(table)
    for row in rows:
        assert table[row["key"]].value == row["value"] and table[row["key"]].verified == row["verified"]


def test_defaults_are_the_librarys():
    """Whatever is not said is the same everywhere: a call with all defaults written out changes nothing."""
    b = body("her")
    short = libdrag.cost(b, event="100 free", time_s=62.4, hip_drop_deg=4)
    said = libdrag.cost(
        libdrag.Swim(
            b, "crawl", "planimetric", "blend", "share", libdrag.Posture(), None, 0.0, libdrag.water(27)
        ),
        event="100 free",
        time_s=62.4,
        hip_drop_deg=4,
        course="lcm",
        breathe="every-2",
        when="breath",
        given="with",
        draws=20000,
        seed=1,
        level=0.95,
        threads=0,
    )
    assert np.array_equal(short.draws, said.draws) and str(short) == str(said)
