"""The same bytes with whatever instructions the loops over draws are run, and whatever code glibc picks for elementary
functions."""

import os
import pathlib
import tempfile

import pytest

from typed import DRAG, MAIN, RACE, WHO, run, with_value, without

LIFT = [*without(MAIN, "--hip-drop"), "--head-lift", "6cm"]
COMMANDS = [
    MAIN,
    [*MAIN, "--breathe", "every-1"],  # breaths overlap
    [*MAIN, "--breathe", "every-3,every-2"],
    [*MAIN, "--when", "always"],
    [*MAIN, "--what-if", "1deg,2deg,3deg"],
    [*MAIN, "--want", "0.2s"],
    [*MAIN, "--head-lift", "6cm"],
    [*MAIN, "--belt", "2kg"],
    [*MAIN, "--within-stroke", "--draws", "200"],
    [*MAIN, "--all-events"],
    [*MAIN, "--seed", "7", "--draws", "5000", "--level", "0.8"],
    with_value(MAIN, "--hip-drop", "6cm"),
    LIFT,
    [*LIFT, "--when", "always"],
    ["cost", *WHO, "--event", "200 im", "--time", "2:30", "--hip-drop", "4deg"],
    ["cost", *WHO, "--event", "100 fly", "--time", "1:10", "--head-lift", "8cm"],
    ["cost", *WHO, "--event", "100 breast", "--time", "1:20", "--hip-drop", "4deg"],
    ["cost", *WHO, "--event", "100 back", "--time", "1:12", "--hip-drop", "4deg", "--when", "always"],
    ["cost", *RACE, *WHO, "--time-without", "1:01.90"],
    *([*MAIN, "--tilt-model", model] for model in ("projected", "damped", "slope", "crossflow")),
    *(with_value(MAIN, "--hip-drop", f"{deg}deg") for deg in ("0", "0.5", "15", "40")),
    DRAG,
    [*DRAG, "--stroke", "breast"],
    [*DRAG, "--depth", "0.5m"],
    ["stroke", "--speed", "1.5mps", *WHO],
    ["balance", *WHO],
    ["balance", *WHO, "--belt", "2kg"],
    ["aids", "--speed", "1.5mps", *WHO, "--belt", "2kg"],
    ["aids", "--speed", "1.4mps", *WHO, "--snorkel"],
    ["body", *WHO],
    *(["drag", "--speed", f"{v}mps", *WHO, "--incline", f"{deg}deg"] for v, deg in (("1.1", 3), ("2.1", 14))),
    *(["stroke", "--speed", "1.3mps", *WHO, "--stroke", stroke] for stroke in ("fly", "breast", "back")),
    ["evidence"],
]

# A day of swims, which weighs the draws, and a season's, which moves them.
FOLDER = tempfile.TemporaryDirectory()
PRICED = [*RACE, *WHO, "--hip-drop", "4deg", "--draws", "4000"]


def times(name, days):
    effects = {"snorkel": 0.0, "every-4": 0.012, "every-2": 0.024}
    rows = ["date,how,distance (m),time (s)"]
    for day in range(days):
        for i, how in enumerate([*effects, *reversed(effects)] * 2):
            off = 0.003 * ((7 * i + 3 * day) % 5 - 2)
            rows.append(f"2026-11-{1 + 4 * day:02d},{how},25,{14.5 * (1 + effects[how] + off):.2f}")
    path = pathlib.Path(FOLDER.name) / name
    path.write_text("\n".join(rows) + "\n")
    return str(path)


COMMANDS += [
    ["trials", times("day.csv", 1), *PRICED],
    ["trials", times("season.csv", 5), *PRICED],
    ["design", *PRICED, "--swims", "4", "--days", "1,2"],
]

WITHOUT_FMA = "glibc.cpu.hwcaps=-AVX2,-FMA,-FMA4"


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_instructions_do_not_change_a_digit(command):
    def answer(**environment):
        return run(*command, "--json", env={**os.environ, **environment})

    plain = answer()
    assert plain.returncode == 0, plain.stderr
    for which in ("baseline", "avx2", "avx512"):
        assert answer(LIBDRAG_INSTRUCTIONS=which).stdout == plain.stdout
    assert answer(GLIBC_TUNABLES=WITHOUT_FMA).stdout == plain.stdout
    assert answer(GLIBC_TUNABLES=WITHOUT_FMA, LIBDRAG_INSTRUCTIONS="baseline").stdout == plain.stdout
