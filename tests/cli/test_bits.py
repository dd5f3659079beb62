"""The same bytes with whatever instructions the loops over draws are run, and whatever code glibc picks for elementary
functions."""

import math
import os
import pathlib
import tempfile

import pytest

from typed import DRAG, MAIN, RACE, WHO, run, with_value, without

# What was seen at the pool: numbers with all their digits, few enough for Student's t to matter.
FILES = tempfile.TemporaryDirectory()


def written(name, title, rows):
    path = pathlib.Path(FILES.name, name)
    path.write_text("\n".join([title, *(",".join(str(cell) for cell in row) for row in rows)]) + "\n")
    return str(path)


def film_rows():
    for breath in (1, 2, 3, "", "", ""):
        for frame in range(-18, 19) if breath else [0]:
            t = frame / 30
            low = 0.5 * (1 + math.cos(2 * math.pi * t / 0.54)) if breath and abs(t) < 0.27 else 0.0
            slip = math.sin(7.0 * frame + len(str(breath)))
            yield breath, frame, t, 640 + slip, 360, 520, 381 + 9 * low + slip, 690, 352 - 12 * low, "toward"


FILM = written(
    "film.csv",
    "breath,frame,time (s),shoulder x (px),shoulder y (px),hip x (px),hip y (px),head x (px),head y (px),side",
    film_rows(),
)
GLIDES = written(
    "glides.csv",
    "glide,held (deg),time (s),distance (m)",
    (
        (
            glide,
            held,
            t / 10,
            math.log1p(0.23 * (1 + held / 20) * 2.2 * t / 10) / 0.23 + 0.01 * math.sin(3.0 * t),
        )
        for glide, held in enumerate((0, 0, 6, 6), 1)
        for t in range(26)
    ),
)
RECORD = written(
    "squad.csv",
    "date,swimmer,kind,stroke,how,set,order,distance (m),time (s),drop (deg),side",
    [
        *(("2026-09-02", "Anna", "swim", "crawl", how, 1, i, 25, 14.2 + 0.07 * (i % 3), "", "")
          for i, how in enumerate(("snorkel", "every-2", "every-2", "snorkel") * 2, 1)),
        *((f"2026-{9 + week // 4:02}-{1 + 7 * (week % 4):02}", "Anna", "drop", "crawl", "every-2", "", "", "", "",
           4.3 - 0.31 * week, "both") for week in range(8)),
    ],
)  # fmt: skip

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
    ["stroke", "--speed", "1.5mps", *WHO, "--draws", "200"],
    ["balance", *WHO],
    ["balance", *WHO, "--belt", "2kg"],
    ["aids", "--speed", "1.5mps", *WHO, "--belt", "2kg"],
    ["aids", "--speed", "1.4mps", *WHO, "--snorkel"],
    ["body", *WHO],
    *(["drag", "--speed", f"{v}mps", *WHO, "--incline", f"{deg}deg"] for v, deg in (("1.1", 3), ("2.1", 14))),
    *(["stroke", "--speed", "1.3mps", *WHO, "--stroke", stroke, "--draws", "200"] for stroke in ("fly", "breast", "back")),
    ["compare", *RACE, *WHO, "--hip-drop", "4deg", "--head-lift", "6cm", "--leg-angle", "8deg", "--instead", "every-3"],
    ["evidence"],
    ["angle", "--shoulder", "412,310", "--hip", "294,339", "--without-shoulder", "700,305", "--without-hip", "582,326"],
    ["angle", FILM, "--cycle", "1.2s", *WHO],
    ["glide", GLIDES, *WHO],
    ["loaded", "--free", "1.62m/s,1.61m/s", "--loaded", "1.41m/s,1.40m/s", "--load", "45N"],
    ["loaded", "--distance", "25m", "--free", "15.4s,15.5s", "--loaded", "13.8s,13.9s", "--tow", "40N"],
    ["progress", RECORD, "--name", "Anna", *RACE],
    *(["practice", *RACE, "--minutes", "60", "--snorkel", "--shorts", *WHO, "--work", work] for work in ("easy", "loaded")),
    ["practice", "--event", "100 back", "--time", "1:12", "--minutes", "60", "--hip-drop", "4deg"],
]  # fmt: skip

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

    plain = answer()  # with the widest that this processor has
    assert plain.returncode == 0, plain.stderr
    assert answer(LIBDRAG_INSTRUCTIONS="avx2").stdout == plain.stdout
    assert answer(GLIBC_TUNABLES=WITHOUT_FMA).stdout == plain.stdout
    assert answer(GLIBC_TUNABLES=WITHOUT_FMA, LIBDRAG_INSTRUCTIONS="baseline").stdout == plain.stdout


def test_instructions_do_not_change_what_is_written_down(tmp_path):
    def answer(name, **environment):
        (tmp_path / name).mkdir()
        done = run("log", "squad.csv", "--name", "Anna", "--date", "2026-11-25", "--how", "every-2", "--distance", "25yd",
                   "--time", "14.32", "--json", cwd=tmp_path / name, env={**os.environ, **environment})  # fmt: skip
        assert done.returncode == 0, done.stderr
        return done.stdout, (tmp_path / name / "squad.csv").read_bytes()

    plain = answer("plain")
    assert answer("baseline", LIBDRAG_INSTRUCTIONS="baseline", GLIBC_TUNABLES=WITHOUT_FMA) == plain
    assert answer("widest", LIBDRAG_INSTRUCTIONS="avx512") == plain
