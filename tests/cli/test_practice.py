"""A session as a coach asks for it: what it adds up to, what other tools read, what is refused."""

import csv
import io
import itertools
import re
import shlex
import xml.etree.ElementTree as ET

import pytest

from test_contract import IDENTITY, estimate, follows
from typed import RACE, WHO, answer, one_line, run, whole_json

MAIN = ["practice", *RACE, "--minutes", "45", "--pool", "25m", "--snorkel", "--hip-drop", "4deg"]
number = (int, float)
maybe = (dict, type(None))
PRACTICE = {
    "event": str,
    "course": str,
    "race_time_s": number,
    "stroke": str,
    "minutes": int,
    "pool_m": number,
    "work": str,
    "ways": [{"letter": str, "how": str, "words": str}],
    "parts": [
        {
            "part": int,
            "what": str,
            "work": str,
            "swims": int,
            "distance_m": number,
            "send_off_s": number,
            "before_s": number,
            "time_s": number,
            "lines": [{"how": str, "swims": int, "target_s": maybe, "gap_s": maybe}],
            "order": [str],
            "cue": str,
            "strokes": maybe,
            "film": [{"swim": int, "side": str}],
            "rules": [number],
        }
    ],
    "distance_m": number,
    "time_s": number,
    "left_s": number,
    "one_swim_s": number,
    "step_up": str,
    "step_back": str,
    "rules": [{"rule": int, "text": str, "reason": str}],
    "log": [str],
    "notes": [str],
    "cautions": [str],
    "seed": int,
    "draws": int,
    **IDENTITY,
}


def words(*args):
    return " ".join(answer(*args).split())


@pytest.mark.parametrize("work", ["easy", "threshold", "race", "tired", "loaded"])
@pytest.mark.parametrize(
    "race",
    [
        ["--event", "100 free", "--time", "1:02.40"],
        ["--event", "200 fly", "--time", "2:35"],
        ["--event", "100 breast", "--time", "1:22"],
        ["--event", "100 back", "--time", "1:12", "--hip-drop", "4deg"],
        ["--event", "500 free", "--time", "5:40", "--course", "scy", "--pool", "25yd"],
    ],
)
def test_contract(work, race):
    pool = [] if "--pool" in race else ["--pool", "25m"]
    tree = whole_json(
        "practice", *race, *pool, *WHO, "--minutes", "50", "--work", work, "--snorkel", "--shorts"
    )
    follows(tree, PRACTICE)
    assert tree["work"] == work
    parts = tree["parts"]
    assert sum(p["time_s"] for p in parts) == tree["time_s"] == 3000 - tree["left_s"]
    assert sum(p["swims"] * p["distance_m"] for p in parts) == pytest.approx(tree["distance_m"], rel=1e-12)
    for part in parts:
        assert part["time_s"] == part["before_s"] + part["swims"] * part["send_off_s"]
        assert part["send_off_s"] % 5 == 0
        assert len(part["order"]) == part["swims"] == sum(line["swims"] for line in part["lines"])
        for line in part["lines"]:
            assert part["order"].count(line["how"]) == line["swims"]
            if line["target_s"]:
                follows(line["target_s"], estimate)
                assert line["target_s"]["level"] == 0.8
                assert line["target_s"]["high"] < part["send_off_s"]
            if line["gap_s"]:
                follows(line["gap_s"], estimate)
    one, other = (way["how"] for way in tree["ways"][:2])
    for test in (parts[1], parts[-1]):
        assert test["what"] == "test" and test["order"] == [one, other, other, one]
    assert any("9 weeks" in note for note in tree["notes"])


def test_words():
    text = words(*MAIN, "--work", "race")
    assert text.startswith("45 min in a pool of 25 m, for the 100 m freestyle in 1:02.40; up to race pace:")
    for part in ("Ways A snorkel; B every 2 arm strokes", "2 Test 4 x 25 m on 1:05, race pace: A B B A", "In all",
                 "Step up next time to race pace, tired", "Rule 9", "after 9 weeks of training", "Caution"):  # fmt: skip
        assert part in text, part
    assert len(answer(*MAIN)) < 9000
    assert len(text[: text.index("In all")].split()) < 270  # what she hears


def test_seed():
    assert answer(*MAIN) == answer(*MAIN, "--seed", "1")
    orders = {str(whole_json(*MAIN, "--work", "race", "--seed", str(k))["parts"]) for k in range(1, 8)}
    assert len(orders) == 7


def test_table():
    rows = list(csv.DictReader(io.StringIO(answer(*MAIN, "--csv"))))
    tree = whole_json(*MAIN)
    assert [row["how"] for row in rows] == list(itertools.chain(*(p["order"] for p in tree["parts"])))
    assert [int(row["swim"]) for row in rows] == list(range(1, len(rows) + 1))
    assert sum(float(row["distance_m"]) for row in rows) == tree["distance_m"]
    assert all("blackout" in row["cautions"] or "Snorkel" in row["cautions"] for row in rows)


def test_page():
    page = answer(*MAIN, "--html")
    root = ET.fromstring(page.split("\n", 1)[1])
    assert page.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert [node.tag for node in root.iter() if node.tag in ("h1", "script", "link", "img")] == ["h1"]
    assert not re.search(r"https?:|src=|@import", page)
    text = " ".join("".join(root.itertext()).split())
    for sentence in whole_json(*MAIN)["cautions"]:
        assert sentence in text
    blanks = [node for node in root.iter("td") if node.get("class") == "blank"]
    assert len(blanks) == 16
    for table in root.iter("table"):
        rows = [len(row) for row in table]
        assert len(set(rows)) == 1


def test_record(tmp_path):
    """The lines of the session, with times in them, are what the next session reads."""
    log = whole_json(*MAIN)["log"]
    times = {"T1": "15.01", "T2": "15.32", "T3": "15.35", "T4": "15.06"}
    for line in log:
        command = shlex.split(line)
        assert command[:2] == ["dragcalc", "log"]
        args = [times.get(arg, arg) for arg in command[1:]]
        args[args.index("NAME")] = "Anna"
        done = run(*args, "--date", "2026-11-25", cwd=tmp_path)
        assert done.returncode == 0, done.stderr.decode()
    done = run(*MAIN, "--record", "squad.csv", "--name", "Anna", "--json", cwd=tmp_path)
    assert done.returncode == 0, done.stderr.decode()
    assert b'"name": "Anna"' in done.stdout
    assert "--name NAME" not in done.stdout.decode()
    line = one_line(run(*MAIN, "--record", "squad.csv", "--name", "Mia", cwd=tmp_path))
    assert "Mia" in line


@pytest.mark.parametrize(
    "change, said",
    [
        (["--minutes", "0"], ["minutes", "got 0", "10 to 120"]),
        (["--minutes", "121"], ["minutes", "got 121"]),
        (["--minutes", "-5"], ["minutes"]),
        (["--minutes", "soon"], ["minutes", "soon", "whole number"]),
        (["--minutes", "10"], ["minutes", "got 10", "at least 2"]),
        (["--pool", "5m"], ["pool", "got 5"]),
        (["--pool", "25"], ["pool", "25", "without a unit"]),
        (["--pool", "25kg"], ["pool", "25kg", "a length"]),
        (["--event", "60 free"], ["60 free"]),
        (["--event", "100 IM", "--course", "scm", "--time", "1:10"], ["event", "one stroke"]),
        (["--event", "100 back", "--time", "1:10", "--work", "hard"], ["hard"]),
        (["--work", "hard"], ["work", "hard"]),
        (["--work", "loaded", *WHO], ["work", "loaded", "shorts"]),
        (["--work", "loaded", "--shorts"], ["height, mass"]),
        (["--age", "3y"], ["age", "3"]),
        (["--age", "13m"], ["age", "13m"]),
        (["--belt", "50kg", *WHO], ["belt", "50"]),
        (["--belt", "2s"], ["belt", "2s", "a mass"]),
        (["--paddles"], ["--paddles"]),
        (["--name", "Anna"], ["name", "record"]),
        (["--record", "nowhere.csv"], ["nowhere.csv"]),
        (["--breathe", "every-0"], ["breathe"]),
        (["--csv", "--json"], ["json"]),
        (["--html", "--json"], ["html, json"]),
    ],
)
def test_bad_input(change, said):
    args = list(MAIN)
    for name in change:
        if name in args:
            at = args.index(name)
            del args[at : at + 2]
    line = one_line(run(*args, *change))
    for word in said:
        assert word in line, line


def test_backstroke_needs_its_drop():
    line = one_line(
        run("practice", "--event", "100 back", "--time", "1:12", "--minutes", "40", "--pool", "25m")
    )
    assert "hip drop: got nothing" in line and "backstroke" in line


def test_what_is_missing_is_said_together():
    line = one_line(run("practice"))
    assert line.startswith("event, time, minutes: got nothing")


def test_children():
    tree = whole_json(*MAIN, "--work", "race", "--age", "13y", "--belt", "2kg")
    hows = {how for part in tree["parts"] for how in part["order"]}
    assert not any("belt" in how or "every-4" in how or "low hips" in how for how in hows)
    assert not any(part["what"] == "by lot" for part in tree["parts"])
    assert any("belt 2" in note for note in tree["notes"])
    assert any("child" in caution for caution in tree["cautions"])
