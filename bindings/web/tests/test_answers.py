"""The page's library answers as dragcalc does, byte for byte: the commands whose bits tests/cli/test_bits.py compares, bad
input, and files."""

import json
import math
import os
import pathlib
import subprocess
import sys

import pytest

ROOT = pathlib.Path(__file__).resolve().parents[3]
sys.path.insert(0, str(ROOT / "tests" / "cli"))
os.environ.setdefault("DRAGCALC", str(ROOT / "build/dev/cli/dragcalc"))

import test_bits
from typed import MAIN, run, with_value

MODULE = os.environ.get("LIBDRAG_WEB", str(ROOT / "build/web/bindings/web"))
PLACES = {"sources": "key"}  # what an argument without a name is called; else "file"


def request(command):
    """The fields that dragcalc makes of its options."""
    out = {"ask": command[0]}
    rest = list(command[1:])
    while rest:
        word = rest.pop(0)
        if not word.startswith("--"):
            out[PLACES.get(command[0], "file")] = word
            continue
        name = word[2:].replace("-", "_")
        if not rest or rest[0].startswith("--"):
            out[name] = True
            continue
        value = rest.pop(0)
        out[name] = [*out[name], value] if name in out else [value]
    return out


def ask(requests, files):
    given = json.dumps({"files": files, "requests": requests})
    done = subprocess.run(
        ["node", str(pathlib.Path(__file__).with_name("ask.mjs")), MODULE],
        input=given,
        capture_output=True,
        text=True,
        timeout=600,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


def files_of(command):
    return [word for word in command if isinstance(word, str) and os.path.isfile(word)]


def in_memory(command):
    return [pathlib.Path(word).name if os.path.isfile(word) else word for word in command]


MORE = [
    ["measured", test_bits.RECORD, "--name", "Anna", *test_bits.PRICED],
    ["design", *test_bits.PRICED],
    ["trials", test_bits.times("week.csv", 2), *test_bits.PRICED],
    ["sources"],
    ["sources", "tilt"],
]
WRONG = [
    with_value(MAIN, "--hip-drop", "95deg"),
    with_value(MAIN, "--time", "soon"),
    ["body"],
    ["angle", "--shoulder", "1,1", "--hip", "1,1"],
    ["measured", "/nowhere.csv", *test_bits.PRICED],
]


@pytest.fixture(scope="module")
def answers():
    commands = [*test_bits.COMMANDS, *MORE, *WRONG]
    files = {pathlib.Path(f).name: pathlib.Path(f).read_text() for c in commands for f in files_of(c)}
    return dict(zip(map(tuple, commands), ask([request(in_memory(c)) for c in commands], files)))


def without_folder(text):
    for folder in (test_bits.FILES.name, test_bits.FOLDER.name):
        text = text.replace(folder + "/", "")
    return text


def of_a_watch(command):
    """Student's t comes from Boost.Math in long double, and here in double: the last digits of what timed swims say
    differ."""
    return command[0] in ("progress", "trials", "measured")


def close(here, there):
    if isinstance(there, float):
        return isinstance(here, float) and math.isclose(here, there, rel_tol=1e-12, abs_tol=1e-15)
    if isinstance(there, dict):
        return list(here) == list(there) and all(close(here[name], there[name]) for name in there)
    if isinstance(there, list):
        return len(here) == len(there) and all(map(close, here, there))
    return here == there


@pytest.mark.parametrize("command", [*test_bits.COMMANDS, *MORE], ids=" ".join)
def test_answers_are_those_of_the_program(answers, command):
    done = run(*command, "--json")
    assert done.returncode == 0
    here, there = answers[tuple(command)], without_folder(done.stdout.decode())
    assert here == there or (of_a_watch(command) and close(json.loads(here), json.loads(there)))


@pytest.mark.parametrize("command", WRONG, ids=" ".join)
def test_errors_are_those_of_the_program(answers, command):
    done = run(*command, "--json")
    assert done.returncode == 2
    error = json.loads(answers[tuple(command)])["error"]
    assert error["message"] == done.stderr.decode().removeprefix("dragcalc: ").rstrip("\n")
    assert set(error) == {"field", "value", "allowed", "message"}


def test_what_is_written_down_is_read_again():
    record = [
        {
            "ask": "log",
            "file": "squad.csv",
            "name": "Anna",
            "kind": "drop",
            "drop": "4deg",
            "date": "2026-11-25",
        },
        {
            "ask": "log",
            "file": "squad.csv",
            "name": "Anna",
            "kind": "drop",
            "drop": "5deg",
            "date": "2026-11-26",
        },
        {"ask": "measured", "file": "squad.csv", "event": "100 free", "time": "1:02.40"},
        {"ask": "log", "file": "", "name": "Anna"},
        "no request",
    ]
    first, second, measured, nowhere, none = (json.loads(text) for text in ask(record, {}))
    assert first["created"] and not second["created"] and second["rows"][0]["row"] == 3
    assert [m["seen"] for m in measured["measurements"]] == [4.0, 5.0]
    assert nowhere["error"]["field"] and none["error"]["field"] == "request"


def test_rungs_asked_at_once_are_those_asked_one_by_one():
    race = {"ask": "cost", "event": "100 free", "time": "1:02.40", "hip_drop": "4deg", "draws": 2000}
    drops = [f"{half / 2}deg" for half in range(31)]
    asked = [{**race, "what_if": drops}, *({**race, "what_if": [drop]} for drop in drops)]
    together, *single = (json.loads(text)["question"]["rungs"] for text in ask(asked, {}))
    assert together == [rung for rungs in single for rung in rungs] and len(together) == len(drops)
