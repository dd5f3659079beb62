"""The answers: what a coach reads, and what must hold between one call and the next."""

import csv
import fcntl
import io
import math
import os
import pty
import re
import shlex
import struct
import subprocess
import termios

import pytest

from typed import (
    DRAG,
    DRAGCALC,
    MAIN,
    RACE,
    WHO,
    answer,
    as_json,
    close,
    refused,
    run,
    same_numbers,
    whole_json,
    with_value,
    without,
)


def unwrapped(text):
    """Label -> paragraphs of an answer in words."""
    found, label = {}, None
    for line in text.splitlines()[2:]:
        if line[:2] == "  " and line[2:15].strip():
            label = line[2:15].strip()
            found.setdefault(label, []).append(line[15:])
        elif line.strip():
            rest = line.strip()
            if label == "Doubt" and (re.match(r"\d\. ", rest) or rest.startswith("several of them together")):
                found[label].append(rest)
            else:
                found[label][-1] += " " + rest
    return found


def shown(text, value):
    """Is this the value, rounded as it is shown?"""
    digits = len(text.split(".")[1]) if "." in text else 0
    step = 10.0**-digits
    if digits == 0 and abs(value) >= 100:
        step = 10.0 ** (math.floor(math.log10(abs(value))) - 1)
    return abs(float(text) - value) <= 0.5001 * step


def seconds(text):
    parts = text.split(":")
    return sum(float(p) * 60**i for i, p in enumerate(reversed(parts)))


STROKE = ["stroke", "--speed", "1.5mps", *WHO, "--draws", "100"]

# --- the main job -----------------------------------------------------------------------------------


def test_the_coach_reads_cost_meaning_origin_doubt_in_this_order():
    text = answer(*MAIN, "--course", "lcm", "--breathe", "every-2")
    labels = [line[2:15].strip() for line in text.splitlines() if line[:2] == "  " and line[2:15].strip()]
    assert labels[:4] == ["Cost", "Meaning", "Comes from", "Doubt"]
    assert set(labels[4:-2]) <= {"Note", "Caution"} and labels[-2:] == ["Swimmer", "Made by"]
    assert text.splitlines()[0] == "100 m freestyle, long course (50 m), 1:02.40:"
    assert text.splitlines()[1] == "hips 4.0 deg lower at each breath; a breath every 2 arm strokes"
    assert all(len(line) <= 80 for line in text.splitlines()) and text.isascii()


@pytest.mark.parametrize("columns", [40, 66, 250])
def test_lines_fold_at_the_terminals_width(columns):
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    done = subprocess.run([DRAGCALC, *MAIN], stdin=subprocess.DEVNULL, stdout=theirs, timeout=1200)
    os.close(theirs)
    text = b""
    try:
        while part := os.read(ours, 65536):
            text += part
    except OSError:  # all read
        pass
    os.close(ours)
    assert done.returncode == 0
    widest = max(len(line) for line in text.decode().splitlines())
    assert min(columns, 100) - 15 < widest <= min(columns, 100)  # longer lines are hard to read


@pytest.mark.parametrize("locale", ["C", "POSIX", "C.UTF-8"])
def test_plain_ascii_in_every_locale(locale):
    for args in (MAIN, DRAG, STROKE, ["balance", *WHO], ["body", *WHO]):
        done = run(*args, env={**os.environ, "LC_ALL": locale})
        assert done.returncode == 0 and done.stdout.isascii()


@pytest.mark.parametrize("more", [[], ["--when", "always"], ["--level", "0.8"], ["--hip-drop-sd", "0deg"]])
def test_the_words_say_what_the_json_says(more):
    words, tree = unwrapped(answer(*MAIN, *more)), as_json(*MAIN, *more)
    number = r"(\d+(?:\.\d+)?)"

    cost = re.match(
        rf"{number} s \({number} % range {number} to {number} s\), {number} % of the race$", words["Cost"][0]
    )
    assert cost, words["Cost"]
    assert shown(cost[1], tree["cost_s"]["median"]) and float(cost[2]) == 100 * tree["cost_s"]["level"]
    assert shown(cost[3], tree["cost_s"]["low"]) and shown(cost[4], tree["cost_s"]["high"])
    assert shown(cost[5], 100 * tree["share_of_race"])
    assert close(tree["share_of_race"], tree["cost_s"]["median"] / 62.4, 1e-12)

    meaning = re.match(
        rf"1:02.40 -> about ([\d:.]+) with the hips level(, breathing just as often)?; each degree less is worth "
        rf"about {number} s \({number} to {number}\)$",
        words["Meaning"][0],
    )
    assert meaning, words["Meaning"]
    assert (meaning[2] is None) == (tree["when"] == "always")
    assert shown(meaning[1].split(":")[1], tree["time_s"] - tree["cost_s"]["median"] - 60)
    degree = tree["per_degree_s"]
    assert all(shown(meaning[i], degree[k]) for i, k in ((3, "median"), (4, "low"), (5, "high")))

    origin = re.match(
        rf"(.*); {number} % more drag while swimming \({number} to {number} %\); {number} % of the race "
        r"is surface swimming, the part priced$",
        words["Comes from"][0],
    )
    assert origin, words["Comes from"]
    change = tree["drag_change"]
    assert all(shown(origin[i], 100 * change[k]) for i, k in ((2, "median"), (3, "low"), (4, "high")))
    assert shown(origin[5], 100 * tree["priced_share"])
    if tree["when"] == "always":
        assert origin[1] == "hips low all the time" and tree["low_share"] == 1.0
        assert close(tree["mean_hip_drop_deg"], 4.0, 1e-12)
    else:
        low = re.match(
            rf"hips low for {number} % of each stroke cycle, {number} deg lower on average$", origin[1]
        )
        assert shown(low[1], 100 * tree["low_share"]) and shown(low[2], tree["mean_hip_drop_deg"])

    for rank, (line, part) in enumerate(zip(words["Doubt"], tree["because"]), 1):
        if line.startswith("several"):
            break
        doubt = re.match(rf"(\d)\. (.*): {number} %$", line)
        assert int(doubt[1]) == rank and doubt[2] == part["input"] and shown(doubt[3], 100 * part["share"])
    together = re.match(rf"several of them together: {number} %$", words["Doubt"][-1])
    assert together and shown(together[1], 100 * tree["in_combination"])
    assert len(words["Doubt"]) >= 4
    assert [b["share"] for b in tree["because"]] == sorted(
        (b["share"] for b in tree["because"]), reverse=True
    )
    assert words.get("Note", []) == tree["notes"] and words.get("Caution", []) == tree["cautions"]


def test_no_machine_words_in_the_answers():
    for args in (
        MAIN,
        with_value(MAIN, "--hip-drop", "0deg"),
        with_value(MAIN, "--hip-drop", "20deg"),
        with_value(MAIN, "--hip-drop", "0.01deg"),
        with_value(MAIN, "--hip-drop", "1e-9deg"),
        [*MAIN, "--what-if", "1e-6deg"],
        [*MAIN, "--incline", "0deg", "--tilt-model", "crossflow"],
        DRAG,
        with_value(DRAG, "--speed", "0.1mps"),
        [*MAIN, "--what-if", "0deg,1deg"],
        [*MAIN, "--want", "0.1s"],
        [*MAIN, "--all-events"],
    ):
        text = answer(*args)
        assert not re.search(r"\bnan\b|\binf\b|\de[-+]?\d|null|_|\{|-0\.0*\b(?!\d)", text), text


def test_csv_is_the_json_in_columns():
    rows = list(csv.DictReader(io.StringIO(answer(*MAIN, "--csv"))))
    tree = as_json(*MAIN)
    assert len(rows) == 1
    row = rows[0]
    assert (row["event"], row["course"]) == (tree["event"], tree["course"])
    for column, value in (
        ("time_s", tree["time_s"]),
        ("hip_drop_deg", tree["hip_drop_deg"]),
        ("cost_s", tree["cost_s"]["median"]),
        ("cost_low_s", tree["cost_s"]["low"]),
        ("cost_high_s", tree["cost_s"]["high"]),
        ("level", tree["cost_s"]["level"]),
        ("per_degree_s", tree["per_degree_s"]["median"]),
        ("drag_change", tree["drag_change"]["median"]),
        ("mean_hip_drop_deg", tree["mean_hip_drop_deg"]),
        ("priced_share", tree["priced_share"]),
    ):
        assert float(row[column]) == value, column
    assert row["cautions"] == " ".join(tree["cautions"])
    assert (row["when"], row["breathing"]) == (tree["when"], tree["breathing"]) == ("breath", "every-2")
    whole = whole_json(*MAIN)
    assert row["swimmer"] == "female, 172 cm, 63 kg" and whole["swimmer"]["stature_m"] == 1.72
    for column in ("version", "tilt_model", "seed", "draws"):
        assert row[column] == str(whole[column])
    assert row["version"] == answer("--version").strip()


def test_what_is_not_said_is_usual():
    said = [
        *MAIN,
        "--course",
        "lcm",
        "--breathe",
        "every-2",
        "--when",
        "breath",
        "--given",
        "with",
        "--tilt-model",
        "blend",
        "--draws",
        "20000",
        "--seed",
        "1",
        "--level",
        "0.95",
        "--threads",
        "0",
    ]
    assert answer(*said) == answer(*MAIN)
    assert as_json(*said) == as_json(*MAIN)
    nobody = without(MAIN, "--sex")
    assert as_json(*nobody) == as_json(*nobody, "--sex", "average")
    said = [
        *DRAG,
        "--depth",
        "0m",
        "--posture",
        "streamlined",
        "--stroke",
        "crawl",
        "--method",
        "planimetric",
        "--tilt-model",
        "blend",
        "--water",
        "fresh",
        "--temperature",
        "27C",
        "--head-lift",
        "0deg",
        "--roll",
        "0deg",
    ]
    assert as_json(*said) == as_json(*DRAG)


@pytest.mark.parametrize(
    "option, values",
    [
        ("--course", ["lcm", "scm", "scy", "LCM"]),
        ("--when", ["breath", "always"]),
        ("--given", ["with", "without"]),
        ("--tilt-model", ["blend", "projected", "damped", "slope", "crossflow"]),
        (
            "--breathe",
            ["never", "alternate", "every-1", "every-2", "every-3", "every-4", "every-60", "every-3,every-2"],
        ),
        ("--sex", ["f", "m", "average", "female", "male", "woman", "man"]),
        ("--start-underwater", ["0m", "11m", "36ft"]),
        ("--turn-underwater", ["0m", "6m"]),
        ("--hip-drop-sd", ["0deg", "0.5deg", "4deg"]),
        ("--dim", ["chest_girth=90cm", "shoulder_height=4ft7in"]),
        ("--set", ["tilt.slope=2.0", "tilt.slope=2.0+-0.5"]),
        ("--level", ["0.5", "0.999", "90%"]),
        ("--draws", ["100", "30000"]),
        ("--seed", ["0", "18446744073709551615"]),
        ("--incline", ["0deg", "9deg"]),
        ("--k", ["28kg/m"]),
    ],
)
def test_every_value_of_cost_works(option, values):
    for value in values:
        tree = as_json(*with_value(MAIN, option, value))
        cost = tree["cost_s"]
        # A body that lies almost level loses a little drag over its first degrees of tilt in the cross-flow
        # model (cos^3 falls before sin^3 rises), so a far tail, a level body or that model alone may go just
        # below zero.
        below = {
            ("--level", "0.999"): 0.05,
            ("--incline", "0deg"): 0.05,
            ("--tilt-model", "crossflow"): 0.001,
        }
        least = -below.get((option, value), 0.0)
        assert least <= cost["low"] <= cost["median"] <= cost["high"] < 10.0, (option, value)
        assert (cost["median"] > 0.0) == (value != "never"), (option, value)


@pytest.mark.parametrize(
    "typed, said",
    [
        ("100 free", "100 m freestyle"),
        ("100free", "100 m freestyle"),
        ("100 FREE", "100 m freestyle"),
        ("100m freestyle", "100 m freestyle"),
        ("100 m free", "100 m freestyle"),
        ("100 metres free", "100 m freestyle"),
        ("100-free", "100 m freestyle"),
        ("50 free", "50 m freestyle"),
        ("1500 free", "1500 m freestyle"),
        ("200m butterfly", "200 m butterfly"),
        ("200 fly", "200 m butterfly"),
        ("100 backstroke", "100 m backstroke"),
        ("200 back", "200 m backstroke"),
        ("50 breast", "50 m breaststroke"),
        ("100 breaststroke", "100 m breaststroke"),
        ("400 IM", "400 m medley"),
        ("200 medley", "200 m medley"),
        ("200 individual medley", "200 m medley"),
    ],
)
def test_events_as_people_write_them(typed, said):
    distance = int(re.match(r"\d+", typed)[0])
    when = ["--when", "always"] if "back" in typed else []
    tree = as_json(*with_value(with_value(MAIN, "--event", typed), "--time", f"{0.75 * distance}s"), *when)
    assert tree["event"] == said and tree["distance_m"] == distance


@pytest.mark.parametrize("course, metres_per_length", [("lcm", 50.0), ("scm", 25.0), ("scy", 25 * 0.9144)])
def test_lengths_by_the_rules(course, metres_per_length):
    # International yard 0.9144 m (agreement of 1959); a yard pool is 25 yd, other short pools 25 m, long 50 m.
    for distance in (50, 100, 200):
        tree = as_json(
            *with_value(with_value(MAIN, "--event", f"{distance} free"), "--time", f"{0.7 * distance}s"),
            "--course",
            course,
        )
        lengths = distance // (50 if course == "lcm" else 25)
        assert close(tree["distance_m"], lengths * metres_per_length, 1e-12)


def test_the_long_races_of_the_yard_pool():
    tree = as_json(
        *with_value(with_value(MAIN, "--event", "1650 free"), "--time", "18:00"), "--course", "scy"
    )
    assert tree["event"] == "1650 yd freestyle" and close(tree["distance_m"], 1650 * 0.9144, 1e-12)


# --- one fault, many ways to say it -----------------------------------------------------------------


def test_a_depth_is_the_angle_it_makes():
    lever = as_json("body", *WHO)["shoulder_hip_m"]
    centimetres = 100 * lever * math.sin(math.radians(4))
    deep = as_json(*with_value(MAIN, "--hip-drop", f"{centimetres!r}cm"))
    steep = as_json(*MAIN)
    assert close(deep["hip_drop_deg"], 4.0, 1e-12)
    assert close(deep["mean_hip_drop_deg"], steep["mean_hip_drop_deg"], 1e-12)
    # The depth also carries how well the shoulder-hip distance is known, so the interval differs a little.
    assert close(deep["cost_s"]["median"], steep["cost_s"]["median"], 0.03)
    assert "cm (4.0 deg) lower" in answer(*with_value(MAIN, "--hip-drop", f"{centimetres!r}cm"))


@pytest.mark.parametrize(
    "option, values, relative",
    [
        ("--height", ["172cm", "1.72m", "1.72 m", "1720mm", "1m72cm", "0.00172km"], 0.0),
        # Rounded when typed, so equal to as many digits as were typed.
        (
            "--height",
            [
                "172cm",
                "67.716535433in",
                "5.6430446194ft",
                "5ft7.716535433in",
                "5'7.716535433\"",
                "1.8810148731yd",
            ],
            1e-5,
        ),
        ("--mass", ["63kg", "63 KG", "63000g"], 0.0),
        ("--mass", ["63kg", "138.8912252lb", "9st12.8912252lb", "9.920801797st"], 1e-5),
        ("--hip-drop", ["4deg", "4°", "4 degrees", "4.0deg"], 0.0),
        ("--hip-drop", ["4deg", "0.06981317007977318rad"], 1e-12),
        ("--hip-drop", ["6cm", "60mm", "0.06m"], 0.0),
        ("--hip-drop", ["2.54cm", "1in"], 1e-12),
        ("--time", ["1:02.40", "62.40", "62.4s", "62.4", "1min2.4s", "0:01:02.4"], 0.0),
        ("--start-underwater", ["9.144m", "10yd", "30ft"], 1e-12),
    ],
)
def test_the_unit_never_changes_the_answer(option, values, relative):
    first = as_json(*with_value(MAIN, option, values[0]))
    for value in values[1:]:
        other = as_json(*with_value(MAIN, option, value))
        assert other == first if relative == 0.0 else same_numbers(other, first, relative), value


@pytest.mark.parametrize(
    "option, values, relative",
    [
        ("--speed", ["1.5mps", "1.5m/s", "150cm/s"], 0.0),
        ("--speed", ["1.5mps", "5.4km/h", "3.3554044381mph", "4.9212598425ft/s"], 1e-9),
        ("--temperature", ["27C", "27°C"], 0.0),
        ("--temperature", ["27C", "80.6F", "300.15K"], 1e-12),
        ("--depth", ["0.5m", "50cm"], 0.0),
    ],
)
def test_the_unit_never_changes_the_drag(option, values, relative):
    first = as_json(*with_value(DRAG, option, values[0]))
    for value in values[1:]:
        other = as_json(*with_value(DRAG, option, value))
        assert other == first if relative == 0.0 else same_numbers(other, first, relative), value


def test_a_plan_of_equal_lengths_is_the_pattern():
    for course, lengths in (("lcm", 2), ("scm", 4), ("scy", 4)):
        one = as_json(*MAIN, "--course", course, "--breathe", "every-2")
        assert as_json(*MAIN, "--course", course, "--breathe", ",".join(["every-2"] * lengths)) == one
    assert as_json(*MAIN, "--course", "scm", "--breathe", "every-3,every-2") == as_json(
        *MAIN, "--course", "scm", "--breathe", "every-3,every-2,every-2,every-2"
    )
    assert as_json(*MAIN, "--breathe", "alternate") == as_json(*MAIN, "--breathe", "every-3")


# --- what must hold ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "more",
    [
        ["--hip-drop", "0deg"],
        ["--hip-drop", "0cm"],
        ["--hip-drop", "0"],
        ["--hip-drop", "4deg", "--breathe", "never"],
        ["--hip-drop", "0deg", "--when", "always"],
    ],
)
def test_no_fault_costs_exactly_nothing(more):
    tree = as_json(*without(MAIN, "--hip-drop"), *more)
    assert [tree["cost_s"][k] for k in ("median", "low", "high")] == [0.0, 0.0, 0.0]
    assert [tree["drag_change"][k] for k in ("median", "low", "high")] == [0.0, 0.0, 0.0]
    text = answer(*without(MAIN, "--hip-drop"), *more)
    assert "0.00 s (95 % range 0.00 to 0.00 s)" in text and "1:02.40 -> about 1:02.4" in text


@pytest.mark.parametrize(
    "race",
    [
        RACE,
        ["--event", "200 fly", "--time", "2:25"],
        ["--event", "100 back", "--time", "1:10", "--when", "always"],
        ["--event", "200 IM", "--time", "2:30"],
    ],
)
def test_a_deeper_drop_costs_more(race):
    before = -1.0
    for drop in (0, 0.5, 1, 2, 4, 8, 15, 30, 45):
        tree = as_json("cost", *race, *WHO, "--hip-drop", f"{drop}deg", "--draws", "2000")
        assert tree["cost_s"]["median"] > before
        assert tree["cost_s"]["low"] <= tree["cost_s"]["median"] <= tree["cost_s"]["high"]
        before = tree["cost_s"]["median"]


@pytest.mark.parametrize(
    "race, patterns",
    [
        (RACE, ["never", "every-8", "every-4", "every-3", "every-2", "every-1"]),
        (["--event", "100 fly", "--time", "1:08"], ["never", "every-3", "every-2", "every-1"]),
        (["--event", "100 breast", "--time", "1:18"], ["never", "every-2", "every-1"]),
    ],
)
def test_more_breaths_cost_more_and_a_steady_drop_most(race, patterns):
    base = ["cost", *race, *WHO, "--hip-drop", "4deg"]
    costs = [as_json(*base, "--breathe", p)["cost_s"]["median"] for p in patterns]
    costs.append(as_json(*base, "--when", "always")["cost_s"]["median"])
    assert costs[0] == 0.0 and all(a < b for a, b in zip(costs, costs[1:]))


def test_a_seed_gives_the_same_answer_on_any_number_of_threads():
    for args in (
        [*MAIN, "--draws", "50000"],
        [*MAIN, "--want", "0.2s"],
        [*MAIN, "--breathe", "every-3,every-2"],
        DRAG,
    ):
        texts = {answer(*args, "--seed", "7", "--threads", threads, "--json") for threads in "123"}
        texts.add(answer(*args, "--seed", "7", "--json"))
        assert len(texts) == 1
    assert as_json(*MAIN, "--seed", "7")["cost_s"] != as_json(*MAIN, "--seed", "8")["cost_s"]
    assert as_json(*MAIN, "--seed", "7")["seed"] == 7


def test_a_lower_level_is_a_narrower_range():
    wide, narrow = as_json(*MAIN, "--level", "0.99")["cost_s"], as_json(*MAIN, "--level", "0.5")["cost_s"]
    assert wide["low"] < narrow["low"] < narrow["median"] == wide["median"] < narrow["high"] < wide["high"]
    assert as_json(*MAIN, "--level", "95%") == as_json(*MAIN)
    for level, words in (("0.5", "(50 % range"), ("0.975", "(97.5 % range"), ("0.999", "(99.9 % range")):
        assert words in answer(*MAIN, "--level", level)


def test_the_time_without_the_fault_is_the_other_way_round():
    cost = as_json(*MAIN)["cost_s"]["median"]
    level = as_json(*with_value(MAIN, "--time", f"{62.4 - cost!r}s"), "--given", "without")
    assert close(level["cost_s"]["median"], cost, 0.01)
    assert "with the hips so low, breathing just as often; each degree less" in " ".join(
        answer(*MAIN, "--given", "without").split()
    )


def test_more_under_water_leaves_less_to_price():
    shares = [as_json(*MAIN, "--turn-underwater", f"{m}m")["priced_share"] for m in (0, 5, 10, 15)]
    assert all(a > b for a, b in zip(shares, shares[1:]))


def test_a_published_number_set_to_itself_changes_nothing():
    row = as_json("sources", "race.start_dead_time")
    same = f"race.start_dead_time={row['value']!r}+-{row['sd']!r}"
    assert as_json(*MAIN, "--set", same) == as_json(*MAIN)
    assert as_json(*MAIN, "--set", f"race.start_dead_time={row['value']!r}") == as_json(*MAIN)
    row = as_json("sources", "tilt.slope")  # weighed by the evidence: what answers take is said beside it
    assert (row["used"], row["used_sd"]) != (row["value"], row["sd"]) and row["used_sd"] < row["sd"]
    used = as_json(*MAIN, "--set", f"tilt.slope={row['used']!r}+-{row['used_sd']!r}")
    assert used["cost_s"]["median"] == pytest.approx(as_json(*MAIN)["cost_s"]["median"], rel=0.01)
    steeper = as_json(*MAIN, "--tilt-model", "slope", "--set", f"tilt.slope={2 * row['value']!r}")
    assert steeper["cost_s"]["median"] > as_json(*MAIN, "--tilt-model", "slope")["cost_s"]["median"]


# --- medleys ----------------------------------------------------------------------------------------

MEDLEY = ["cost", "--event", "200 IM", "--time", "2:22.40", *WHO, "--hip-drop", "4deg"]


@pytest.mark.parametrize(
    "more",
    [
        [],
        ["--splits", "30.1,37.2,42.9,32.2"],
        ["--when", "always"],
        ["--breathe", "fly=every-2,free=every-3"],
    ],
)
def test_the_parts_of_a_medley_add_up(more):
    tree = as_json(*MEDLEY, *more)
    legs = tree["legs"]
    assert tree["stroke"] == "medley" and [leg["stroke"] for leg in legs] == [
        "fly",
        "back",
        "breast",
        "crawl",
    ]
    assert close(sum(leg["time_s"] for leg in legs), 142.4, 1e-12)
    # Medians of parts need not add up exactly; they move together, so they nearly do.
    assert close(sum(leg["cost_s"]["median"] for leg in legs), tree["cost_s"]["median"], 0.03)
    assert (legs[1]["cost_s"]["median"] == 0.0) == (tree["when"] == "breath")
    if "--splits" in more:
        assert [leg["time_s"] for leg in legs] == pytest.approx([30.1, 37.2, 42.9, 32.2], rel=1e-12)
    assert "By stroke" in answer(*MEDLEY, *more)


def test_a_medley_breathes_by_stroke():
    usual = as_json(*MEDLEY)
    assert as_json(*MEDLEY, "--breathe", "fly=every-1,breast=every-1,free=every-2") == usual
    fewer = as_json(*MEDLEY, "--breathe", "fly=every-2")
    assert fewer["legs"][0]["cost_s"]["median"] < usual["legs"][0]["cost_s"]["median"]
    assert fewer["legs"][2] == usual["legs"][2] and fewer["legs"][3] == usual["legs"][3]


# --- other questions --------------------------------------------------------------------------------


def test_the_ladder_is_the_same_race_with_other_drops():
    tree = as_json(*MAIN, "--what-if", "0deg,1deg,2deg,3cm")
    assert tree["question"]["asked"] == "what_if" and tree["events"] == [as_json(*MAIN)]
    rungs = tree["question"]["rungs"]
    for rung, drop in zip(rungs, ("0deg", "1deg", "2deg", "3cm")):
        assert rung == as_json(*with_value(MAIN, "--hip-drop", drop))
    costs = [rung["cost_s"]["median"] for rung in rungs]
    assert costs[0] == 0.0 and all(a < b for a, b in zip(costs, costs[1:]))
    assert as_json(*MAIN, "--what-if", "0deg", "--what-if", "1deg")["question"]["rungs"] == rungs[:2]
    rows = list(csv.DictReader(io.StringIO(answer(*MAIN, "--what-if", "1deg,2deg", "--csv"))))
    assert [float(row["hip_drop_deg"]) for row in rows] == pytest.approx([4, 1, 2])
    text = answer(*MAIN, "--what-if", "1deg,2deg")
    assert "What if the hips dropped" in text
    price, question, end = text.split("\n\n", 2)[1], text.split("\n\n")[2], text.split("\n\n")[-1]
    assert answer(*MAIN) == f"{text.split(chr(10) * 2)[0]}\n\n{price}\n{end}" and question.startswith(
        "  What if"
    )
    assert re.search(r"\n  3\.0 cm \(3\.4 deg\) ", answer(*MAIN, "--what-if", "3cm"))


def test_a_wanted_gain_is_bought_or_cannot_be():
    cost = as_json(*MAIN)["cost_s"]
    tree = as_json(*MAIN, "--want", "0.2s")
    asked = tree["question"]
    left = asked["hip_drop_left_deg"]["median"]
    assert asked["asked"] == "want" and asked["reachable"] is True and 0.0 < left < 4.0
    assert 0.5 < asked["chance"] < 1.0
    assert asked["most_s"] == cost and tree["events"][0]["cost_s"] == cost
    saved = cost["median"] - as_json(*with_value(MAIN, "--hip-drop", f"{left}deg"))["cost_s"]["median"]
    assert close(saved, 0.2, 0.15)
    assert "To gain 0.20 s: bring the hip drop from 4.0 deg down to about" in answer(*MAIN, "--want", "0.2s")

    tree = as_json(*MAIN, "--want", "5s")["question"]
    assert tree["reachable"] is False and tree["chance"] < 0.01 and tree["hip_drop_left_deg"]["median"] == 0.0
    words = answer(*MAIN, "--want", "5s")
    assert "5.0 s cannot be bought this way" in words
    rows = list(csv.DictReader(io.StringIO(answer(*MAIN, "--want", "5s", "--csv"))))
    assert len(rows) == 1 and rows[0]["reachable"] == "false"


def test_two_times_imply_the_drop_that_costs_their_difference():
    cost = as_json(*MAIN, "--hip-drop-sd", "0deg")["cost_s"]["median"]
    two = [*without(MAIN, "--hip-drop"), "--time-without", f"{62.4 - cost!r}s"]
    whole = as_json(*two)
    assert whole["events"] == []
    tree = whole["question"]
    drop = tree["hip_drop_deg"]
    assert close(drop["median"], 4.0, 0.05) and drop["low"] < 4.0 < drop["high"]
    assert (tree["event"], tree["course"], tree["time_s"]) == ("100 m freestyle", "lcm", 62.4)
    words = answer(*two)
    assert "Implies" in words and "a hip drop of about" in words
    assert len(list(csv.DictReader(io.StringIO(answer(*two, "--csv"))))) == 1
    # Ten seconds are more than any hip drop makes: no angle is named.
    far = " ".join(answer(*with_value(two, "--time-without", "50.0s")).split())
    assert "no hip drop of up to 45 deg" in far and "about 4" not in far


def test_several_events_make_one_table():
    two = ["cost", *RACE, "--event", "200 free", "--time", "2:15.00", *WHO, "--hip-drop", "4deg"]
    singles = [
        as_json(*MAIN),
        as_json(*with_value(with_value(MAIN, "--event", "200 free"), "--time", "2:15.00")),
    ]
    assert as_json(*two)["events"] == singles
    rows = list(csv.DictReader(io.StringIO(answer(*two, "--csv"))))
    assert [float(r["cost_s"]) for r in rows] == [s["cost_s"]["median"] for s in singles]
    text = answer(*two)
    assert re.search(r"100 m freestyle +1:02\.40 ", text) and re.search(r"200 m freestyle +2:15\.00 ", text)
    assert "long course (50 m): hips 4.0 deg lower" in text and text.count("at each breath") == 2
    back = [*two[:5], "--event", "100 back", "--time", "1:12", *two[9:]]
    assert "when: got breath; allowed: always for 100 m backstroke" in refused(*back)
    assert [e["when"] for e in as_json(*back, "--when", "always")["events"]] == ["always", "always"]
    assert re.search(r"100 m backstroke +1:12\.00 +all the way ", answer(*back, "--when", "always"))


@pytest.mark.parametrize(
    "course, event, distances",
    [
        ("lcm", "100 free", [50, 100, 200, 400, 800, 1500]),
        ("scm", "100 free", [25, 50, 100, 200, 400, 800, 1500]),
        ("scy", "100 free", [25, 50, 100, 200, 500, 1000, 1650]),
        ("lcm", "100 fly", [50, 100, 200]),
        ("lcm", "200 IM", [200, 400]),
        ("scy", "200 IM", [100, 200, 400]),
    ],
)
def test_all_events_of_a_stroke(course, event, distances):
    time = f"{0.7 * int(event.split()[0])}s"
    args = [*with_value(with_value(MAIN, "--event", event), "--time", time), "--course", course]
    listed = as_json(*args, "--all-events")["events"]
    assert [int(e["event"].split()[0]) for e in listed] == distances
    single = as_json(*args)
    known = [e for e in listed if not e["time_guessed"]]
    assert known == [single]
    speeds = [e["distance_m"] / e["time_s"] for e in listed]
    assert all(a > b for a, b in zip(speeds, speeds[1:]))
    assert all(any("guessed" in c for c in e["cautions"]) for e in listed if e["time_guessed"])
    assert answer(*args, "--all-events").count("~") == len(distances) - 1


# --- cautions ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "args, word",
    [
        (with_value(with_value(MAIN, "--height", "1.35m"), "--mass", "30kg"), "child"),
        (with_value(with_value(DRAG, "--height", "1.35m"), "--mass", "30kg"), "child"),
        (["body", "--sex", "m", "--height", "1.35m", "--mass", "30kg"], "child"),
        (["body", "--sex", "m", "--height", "2.15m", "--mass", "140kg"], "larger"),
        (with_value(MAIN, "--hip-drop", "20deg"), "extrapolated"),
        (with_value(DRAG, "--temperature", "9C"), "Water outside"),
        (with_value(DRAG, "--speed", "2.5mps"), "Outside the measured range"),
        (with_value(DRAG, "--incline", "20deg"), "Outside the measured range"),
        ([*MAIN, "--breathe", "never"], "Never hold the breath"),
        ([*MAIN, "--breathe", "every-4"], "few breaths"),
        ([*MAIN, "--snorkel"], "breathe through it"),
        ([*MAIN, "--tether", "20N"], "within the swimmer's reach"),
        ([*MAIN, "--turn-underwater", "12m"], "swum on one breath"),
        ([*without(MAIN, "--hip-drop"), "--head-lift", "22cm"], "whole head out of the water"),
        (
            with_value(with_value([*MAIN, "--breathe", "every-7"], "--height", "138cm"), "--mass", "33kg"),
            "no breath-restricted swims",
        ),
        ([*DRAG, "--age", "12"], "no breath-restricted swims"),
        ([*STROKE, "--hip-drop", "3deg", "--breathe", "every-4"], "few breaths"),
        ([*STROKE, "--age", "17"], "no breath-restricted swims"),
        (["balance", *WHO, "--head-lift", "6cm", "--breathe", "every-4"], "few breaths"),
        (["balance", *WHO, "--lungs", "empty"], "Little air in the lungs"),
        (["aids", "--speed", "1.5mps", *WHO, "--snorkel", "--draws", "100"], "breathe through it"),
        (["aids", "--speed", "1.5mps", *WHO, "--head-lift", "22cm", "--draws", "100"], "whole head out"),
        ([*STROKE, "--head-lift", "22cm"], "whole head out"),
        (
            with_value(
                with_value(with_value(MAIN, "--event", "100 fly"), "--time", "1:08"), "--breathe", "every-2"
            ),
            "few breaths",
        ),
        (without(MAIN, "--sex"), "Sex is not given"),
    ],
)
def test_possible_but_outside_what_was_measured_is_said(args, word):
    text = answer(*args)
    caution = [line for line in text.splitlines() if line.startswith("  Caution")]
    assert caution and word in " ".join(text.split())
    assert any(word in c for c in as_json(*args)["cautions"])
    rows = list(csv.DictReader(io.StringIO(answer(*args, "--csv"))))
    assert rows and all(word in row["cautions"] for row in rows)


@pytest.mark.parametrize("question", [["--want", "0.1s"], ["--what-if", "1deg"], ["--time-without", "1:02"]])
def test_questions_carry_the_cautions_in_every_form(question):
    args = MAIN if question[0] != "--time-without" else without(MAIN, "--hip-drop")
    args = [*args, "--breathe", "every-6", *question]
    rows = list(csv.DictReader(io.StringIO(answer(*args, "--csv"))))
    assert rows and all("few breaths" in row["cautions"] for row in rows)
    assert "Swimming on few breaths" in answer(*args) and "Swimming on few breaths" in str(whole_json(*args))
    if question[0] == "--time-without":
        assert "never by holding the breath" in " ".join(answer(*args).split())
        assert "never by holding the breath" in rows[0]["cautions"]


def test_worn_weight_is_capped_by_the_body_with_the_reason():
    assert "6.30 kg: for safety at most 10 % of the body's mass" in refused(*MAIN, "--belt", "7kg")
    assert "4.00 kg" in refused(
        "balance", "--sex", "f", "--height", "150cm", "--mass", "40kg", "--belt", "5kg"
    )


def test_no_belt_is_suggested_for_a_child():
    child = [
        "aids",
        "--speed",
        "1.2mps",
        "--sex",
        "f",
        "--height",
        "138cm",
        "--mass",
        "33kg",
        "--draws",
        "100",
    ]
    young = ["aids", "--speed", "1.2mps", *WHO, "--age", "12", "--draws", "100"]
    for args in (child, young):
        tree = whole_json(*args, "--want", "x1.2")
        assert {e["aid"] for e in tree["aids"]} == {"snorkel", "shorts", "drogue", "tether", "buoy"}
        assert {e["aid"] for e in tree["want"]} == {"shorts", "drogue", "tether"}
        assert not re.search(r"\bbelt (\d|of)", answer(*args, "--want", "x1.2"))


def test_the_answer_names_the_swimmer_of_the_file(tmp_path):
    file = tmp_path / "ada.json"
    file.write_text('{"name": "Ada", "sex": "f", "stature": "172cm", "mass": "63kg"}')
    race = ["cost", *RACE, "--swimmer", str(file), "--hip-drop", "4deg"]
    assert answer(*race).startswith("Ada: 100 m freestyle, ") and "Swimmer      Ada, female, " in answer(
        *race
    )
    assert whole_json(*race)["swimmer"]["name"] == "Ada"
    for args in (
        ["drag", "--speed", "1.5mps"],
        ["stroke", "--speed", "1.5mps", "--draws", "100"],
        ["balance"],
    ):
        assert answer(*args, "--swimmer", str(file)).startswith("Ada: ")
    # A name is printed as it was given.
    file.write_text('{"name": "Zoë", "sex": "f", "stature": "172cm", "mass": "63kg"}', encoding="utf-8")
    assert answer(*race).startswith("Zoë: 100 m freestyle, ")


def test_the_usual_case_carries_no_caution():
    assert as_json(*MAIN)["cautions"] == [] and "Caution" not in answer(*MAIN)
    assert as_json(*DRAG)["cautions"] == []


def test_the_evidence_travels_with_the_stroke():
    def notes(event, time):
        return " ".join(as_json(*with_value(with_value(MAIN, "--event", event), "--time", time))["notes"])

    assert "no sure gain" in notes("100 breast", "1:20") and "Do not skip breaths" in notes(
        "100 breast", "1:20"
    )
    assert "skill" in notes("100 fly", "1:10")
    crawl = notes("100 free", "1:02.4")
    assert "lost thrust included" in crawl and crawl.endswith("Do not skip breaths for speed.")


# --- help -------------------------------------------------------------------------------------------


def test_help_names_every_option():
    text = answer("cost", "--help-all")
    for option in (
        "--event",
        "--course",
        "--time",
        "--sex",
        "--height",
        "--mass",
        "--hip-drop",
        "--breathe",
        "--when",
        "--what-if",
        "--want",
        "--all-events",
        "--swimmer",
        "--json",
        "--csv",
        "--draws",
        "--seed",
        "--level",
        "--time-without",
        "--splits",
        "--threads",
        "--given",
    ):
        assert option + " " in text, option
    text = answer("drag", "--help-all")
    for option in (
        "--speed",
        "--incline",
        "--depth",
        "--posture",
        "--stroke",
        "--method",
        "--tilt-model",
        "--json",
    ):
        assert option + " " in text, option
    assert "--save" in answer("body", "--help") and "--force" in answer("body", "--help")
    assert all(word in answer("--help") for word in ("cost", "drag", "body", "sources"))
    assert re.fullmatch(r"\d+\.\d+\.\d+\n", answer("--version"))


def test_the_short_help_is_short_grouped_and_says_where_the_cautions_are():
    for command in ("cost", "compare", "drag", "stroke", "balance", "aids", "body", "evidence", "sources"):
        short, full = answer(command, "--help"), answer(command, "--help-all")
        assert f"dragcalc {command} " in short and "--help-all" in short and "--json" in short
        assert set(short.splitlines()) - set(full.splitlines()) == {
            f"Every option: dragcalc {command} --help-all"
        }
        if command not in ("evidence", "sources"):
            assert "Cautions about" in short
            assert "below the answer, and in its JSON and CSV" in " ".join(short.split())
            assert len(short) < 0.75 * len(full)
        assert all(len(line) <= 80 for line in full.splitlines())
    whole = answer("--help")
    assert "Cautions about" in whole and "dragcalc cost --event" in whole
    assert all(len(line) <= 80 for line in whole.splitlines())
    headings = [line for line in answer("cost", "--help-all").splitlines() if re.match(r"[A-Z]", line)]
    assert headings[:4] == ["Race", "Swimmer", "Fault", "Question, one at a time"]
    assert {"Worn or towed", "Floating", "Study", "Output"} < set(headings)
    assert "--belt-at" not in answer("cost", "--help")


@pytest.mark.parametrize("command", ["cost", "drag", "stroke", "balance", "aids", "body"])
def test_every_example_of_the_help_works(command, tmp_path):
    text = answer(command, "--help").replace(" \\\n", " ")
    examples = [line for line in text.splitlines() if line.startswith(f"  dragcalc {command} ")]
    assert examples
    few = (
        ["--draws", "100"] if command in ("aids", "stroke") else []
    )  # what it is weighed by takes most of a second
    for example in examples:
        done = run(*shlex.split(example)[1:], *few, cwd=tmp_path)
        assert done.returncode == 0 and done.stdout, (example, done.stderr)


def test_without_a_breath_nothing_is_said_to_be_low():
    for args in (["--snorkel"], ["--breathe", "never"]):
        words = flat(*MAIN, *args)
        assert "no breath: nothing lifts the head or lowers the hips" in words
        assert "just as often" not in words and "each degree" not in words


# as typed, and as the same thing is usually written
SPELLINGS = [
    (["--sex", "M"], ["--sex", "m"]),
    (["--sex", "Female"], ["--sex", "f"]),
    (["--mass", "185 pounds"], ["--mass", "185lb"]),
    (["--height", "5'8 1/2\""], ["--height", "5ft8.5in"]),
    (["--height", "5'8\u00bd\u2033"], ["--height", "5ft8.5in"]),
    (["--breathe", "EVERY-2"], ["--breathe", "every-2"]),
    (["--breathe", "Alternate"], ["--breathe", "every-3"]),
    (["--when", "Always"], ["--when", "always"]),
    (["--time", "1:06/100", "--event", "400 free"], ["--time", "4:24", "--event", "400 free"]),
    (["--time", "33/50m"], ["--time", "1:06"]),
    (
        ["--time", "1:06/100yd", "--event", "500 free", "--course", "SCY"],
        ["--time", "5:30", "--event", "500 free", "--course", "scy"],
    ),
    (["--belt", "2kg", "--age", "25y"], ["--belt", "2kg", "--age", "25"]),
    (["--belt", "2kg", "--age", "30 Years"], ["--belt", "2kg", "--age", "30"]),
    (
        ["--event", "400 IM", "--time", "5:00", "--splits", "32,36,39,40,43,45,33,32"],
        ["--event", "400 IM", "--time", "5:00", "--splits", "68,79,88,65"],
    ),
]


@pytest.mark.parametrize("typed, usual", SPELLINGS, ids=[" ".join(a) for a, _ in SPELLINGS])
def test_ordinary_spellings(typed, usual):
    def call(pairs):
        args = list(MAIN)
        for option, value in zip(pairs[::2], pairs[1::2]):
            args = with_value(args, option, value)
        return answer(*args, "--json")

    assert call(typed) == call(usual)


def test_a_cycle_is_also_a_rate():
    call = [*STROKE, "--json"]
    assert answer(*call, "--cycle", "50/min") == answer(*call, "--cycle", "1.2s")


def test_a_body_is_assumed_where_it_hardly_matters_and_the_answer_says_so():
    bare = ["cost", *RACE, "--hip-drop", "4deg"]
    told = as_json(*bare)
    assumed = [text for text in told["assumed"] if text.startswith("an average adult body")]
    assert len(assumed) == 1 and "172 cm" in assumed[0] and "68 kg" in assumed[0]
    assert "assumed: an average adult body" in " ".join(answer(*bare).split())
    # that is what makes it fair: other adults pay the same within what is unknown
    for who in (WHO, ["--sex", "m", "--height", "190cm", "--mass", "90kg"]):
        other = as_json(*bare, *who)
        assert not any("average adult body" in text for text in other["assumed"])
        assert close(other["cost_s"]["median"], told["cost_s"]["median"], 0.06)
    # not where the body decides
    for args in (
        ["cost", *RACE, "--hip-drop", "6cm"],
        ["cost", *RACE, "--head-lift", "20deg"],
        [*bare, "--belt", "2kg"],
        [*bare, "--within-stroke"],
    ):
        line = refused(*args)
        assert "height, mass: got nothing" in line
    assert "mass: got nothing" in refused(*bare, "--height", "172cm")


def test_a_measured_k_cancels_in_a_race_and_the_answer_says_so():
    with_k, bare = as_json(*MAIN, "--k", "28kg/m"), as_json(*MAIN)
    assert with_k["cost_s"] == bare["cost_s"]
    assert "cancels" in " ".join(with_k["notes"]) and "cancels" not in " ".join(bare["notes"])


def test_sources_list_value_uncertainty_validity_and_citation():
    rows = as_json("sources")["sources"]
    assert len(rows) > 50 and len({row["key"] for row in rows}) == len(rows)
    for row in rows:
        assert (
            row["key"] and row["citation"] and row["verified"] and isinstance(row["value"], (int, float))
        ), row
    # which of them --set takes, and what
    may = {row["key"]: row["replaceable"] for row in rows}
    assert may["tilt.slope"] == [0.01, 20] and may["water.tanaka.a1"] is None
    assert "by 0.01 to 20 %/deg" in answer("sources", "tilt.slope")
    assert "no: compiled in" in answer("sources", "water.tanaka.a1")
    one = answer("sources", "tilt.slope")
    assert all(label in one for label in ("Value", "Valid for", "Source", "Verified"))
    words = answer("sources")
    assert all(row["key"] in words for row in rows)
    assert len(list(csv.DictReader(io.StringIO(answer("sources", "--csv"))))) == len(rows)


def test_an_answer_that_cannot_be_written_is_no_success():
    with open("/dev/full", "wb") as full:
        done = subprocess.run([DRAGCALC, *MAIN], stdout=full, stderr=subprocess.PIPE, timeout=1200)
    assert done.returncode == 1 and done.stderr.count(b"\n") == 1


def test_the_call_does_not_depend_on_the_locale():
    for name in ("C", "C.UTF-8", "de_DE.UTF-8"):
        done = run(*MAIN, env={**os.environ, "LC_ALL": name, "LANG": name})
        assert done.returncode == 0 and done.stdout.decode() == answer(*MAIN)


# --- a lifted head ----------------------------------------------------------------------------------


def flat(*args):
    return " ".join(answer(*args).split())


def test_a_drop_and_a_lift_say_out_of_what_the_price_is():
    both = [*MAIN, "--head-lift", "6cm"]
    tree, words = as_json(*both), flat(*both)
    assert "hips 4.0 deg lower and head 6.0 cm higher at each breath;" in words
    assert tree["head_priced"] is True and tree["hips_s"]["median"] > 0.0 and tree["head_s"]["median"] > 0.0
    assert re.search(r"Out of the hips 0\.\d+ s \(.*\), the lifted head's own drag 0\.\d+ s", words)
    assert "with the head down and the hips level, breathing just as often; each degree of hip drop" in words
    hips = as_json(*MAIN)
    assert tree["cost_s"]["median"] > hips["cost_s"]["median"] and hips["head_priced"] is False
    assert "Out of" not in answer(*MAIN)
    (row,) = csv.DictReader(io.StringIO(answer(*both, "--csv")))
    assert row["head_priced"] == "true" and float(row["head_s"]) == tree["head_s"]["median"]
    assert float(row["hips_s"]) == tree["hips_s"]["median"] < tree["cost_s"]["median"]


def test_a_lift_is_answered_as_a_lift():
    lift = [*without(MAIN, "--hip-drop"), "--head-lift", "6cm"]
    words = flat(*lift)
    assert re.search(r"head 6\.0 cm higher at each breath, which sinks the hips 0\.\d+ deg; a breath", words)
    assert "each degree" not in words and "hips level, breathing just as often Comes" in words
    asked = as_json(*lift, "--want", "0.2s")["question"]
    assert 0.0 < asked["share_left"]["median"] < 1.0
    left = f"{6 * asked['share_left']['median']:.2g}"
    assert f"lift the head about {left} cm instead of 6.0 cm" in asked["answer"]
    assert "hip drop" not in asked["answer"]
    both = as_json(*lift, "--hip-drop", "4deg", "--want", "0.2s")["question"]["answer"]
    assert "bring the hip drop from 4.0 deg down to about" in both and " and lift the head about" in both
    much = as_json(*lift, "--want", "20s")["question"]["answer"]
    assert "taking all of the lift away buys" in much
    assert "(the hips alone, without the lifted head)" in flat(*lift, "--what-if", "1deg")


def test_a_drop_in_centimetres_is_priced_by_the_centimetre():
    args = with_value(MAIN, "--hip-drop", "6cm")
    tree = as_json(*args)
    assert tree["hip_drop_m"] == pytest.approx(0.06, rel=1e-9)
    each = re.search(r"each centimetre less is worth about ([\d.]+) s", flat(*args))
    assert close(float(each[1]), tree["per_degree_s"]["median"] * tree["hip_drop_deg"] / 6.0, 0.05)


def test_notes_of_several_races_are_said_once():
    words = flat("cost", *RACE, "--event", "200 free", "--time", "2:15", *WHO, "--hip-drop", "4deg")
    assert words.count("Priced here:") == 1 and words.count("This prices the hips") == 1
    assert "In the 100 m freestyle: This prices the hips" in words


def test_a_second_time_says_how_often_and_why_there_is_none():
    asked = [*without(MAIN, "--hip-drop"), "--breathe", "every-3"]
    question = whole_json(*asked, "--time-without", "1:02.0")["question"]
    assert question["when"] == "breath" and question["breathing"] == "every-3"
    assert "a hip drop of about" in question["answer"]
    assert "hips lower at each breath; a breath every 3 arm strokes" in flat(
        *asked, "--time-without", "1:02.0"
    )
    assert "under 1 % of the draws" in flat(*asked, "--time-without", "1:02.2")
    (row,) = csv.DictReader(io.StringIO(answer(*asked, "--time-without", "50", "--csv")))
    assert row["hip_drop_deg"] == "" and row["answer"].startswith("no hip drop of up to 45 deg")
    assert row["breathing"] == "every-3"
