"""A coach writes down what was seen: every row is in the file, or is refused in one line with the file as it was."""

import csv
import json
import os
import pathlib
import re
import resource
import shutil
import signal
import subprocess
import tempfile
import threading

import pytest

from typed import DRAGCALC, one_line, run

ANNA = ["--name", "Anna", "--date", "2026-11-25"]
SWIM = [*ANNA, "--how", "every-2", "--distance", "25m", "--time", "14.32"]
TITLES = "date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,drop (deg),drop sd (deg),side,breaths,depth (m),note"


@pytest.fixture
def record(tmp_path):
    return tmp_path / "squad.csv"


def log(record, *args):
    done = run("log", record.name, *args, cwd=record.parent)
    assert done.returncode == 0, done.stderr.decode()
    assert done.stderr == b""
    return done.stdout.decode()


def logged(record, *args):
    return json.loads(log(record, *args, "--json"))


def refused(record, *args):
    return one_line(run("log", record.name, *args, cwd=record.parent))


def rows(record):
    with open(record, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


# --- what is written --------------------------------------------------------------------------------


def test_a_swim(record):
    text = log(
        record,
        *SWIM,
        "--set",
        "1",
        "--order",
        "3",
        "--strokes",
        "14",
        "--by",
        "video",
        "--note",
        "cold, windy",
    )
    assert "Anna, 2026-11-25: written to squad.csv, which is new" in text
    assert "swim, crawl, every-2, set 1, order 3, distance 25 m, time 14.32 s" in " ".join(text.split())
    assert record.read_text().splitlines()[0] == TITLES
    assert rows(record) == [
        {
            "date": "2026-11-25",
            "swimmer": "Anna",
            "kind": "swim",
            "stroke": "crawl",
            "how": "every-2",
            "set": "1",
            "order": "3",
            "distance (m)": "25",
            "surface (m)": "",
            "time (s)": "14.32",
            "by": "video",
            "strokes": "14",
            "drop (deg)": "",
            "drop sd (deg)": "",
            "side": "",
            "breaths": "",
            "depth (m)": "",
            "note": "cold, windy",
        }
    ]
    assert "which is new" not in log(record, *SWIM, "--set", "2")


def test_json_and_csv_say_the_same(record):
    tree = logged(record, *SWIM)
    assert tree["file"] == "squad.csv" and tree["swimmer"] == "Anna" and tree["created"] is True
    assert tree["notes"] == [] and tree["cautions"] == [] and re.fullmatch(r"\d+\.\d+\.\d+", tree["version"])
    assert tree["rows"] == [
        {
            "row": 2,
            "date": "2026-11-25",
            "kind": "swim",
            "stroke": "crawl",
            "how": "every-2",
            "order": 1,
            "distance_m": 25.0,
            "time_s": 14.32,
            "by": "stopwatch",
        }
    ]
    (row,) = csv.DictReader(log(record, *SWIM, "--csv").splitlines())
    assert (row["row"], row["order"], row["time_s"], row["swimmer"]) == ("3", "2", "14.32", "Anna")


def test_several_swims_in_one_call(record):
    tree = logged(
        record,
        *ANNA,
        "--distance",
        "25yd",
        "--how",
        "snorkel",
        "--how",
        "every-2",
        "--time",
        "14.1",
        "--time",
        "0:14.50",
    )
    assert [(r["order"], r["how"], r["time_s"]) for r in tree["rows"]] == [
        (1, "snorkel", 14.1),
        (2, "every-2", 14.5),
    ]
    assert tree["rows"][0]["distance_m"] == 22.86
    assert any("Snorkel" in caution for caution in tree["cautions"])
    assert (
        logged(record, *ANNA, "--distance", "25yd", "--how", "every-2", "--time", "14.2")["rows"][0]["order"]
        == 3
    )


@pytest.mark.parametrize(
    "args, cells",
    [
        (
            ["--kind", "drop", "--drop", "4deg", "--drop-sd", "0.5deg", "--side", "both"],
            {"drop (deg)": "4", "side": "both"},
        ),
        (
            ["--kind", "drop", "--drop", "4deg", "--side", "both", "--breaths", "5"],
            {"side": "both", "breaths": "5", "depth (m)": ""},
        ),
        (
            ["--kind", "glide", "--points", "0.5s:1.1m", "--depth", "60cm"],
            {"depth (m)": "0.6", "breaths": ""},
        ),
        (["--kind", "drop", "--drop", "6cm"], {"drop (deg)": "0.06 m", "side": "deck"}),
        (["--kind", "frames", "--film", "film.csv", "--side", "away"], {"note": "film.csv", "side": "away"}),
        (
            ["--kind", "glide", "--points", "0.5s:1.1m", "--drop", "8deg"],
            {"distance (m)": "1.1", "drop (deg)": "8"},
        ),
        (
            ["--kind", "loaded", "--distance", "25m", "--time", "16", "--load", "20N"],
            {"how": "every-2; tether 20 N"},
        ),
        (
            ["--kind", "loaded", "--distance", "25m", "--time", "13", "--tow", "20N"],
            {"how": "every-2; tow 20 N"},
        ),
        (
            ["--kind", "race", "--event", "100 free", "--course", "scm", "--time", "1:01.4"],
            {"time (s)": "61.40"},
        ),
        (["--kind", "remark", "--note", "tired"], {"note": "tired"}),
        (
            ["--stroke", "fly", "--how", "every-1", "--distance", "25m", "--time", "15", "--left-out"],
            {"note": "left out"},
        ),
        (["--how", "every-2", "--distance", "50m", "--time", "31", "--turn"], {"note": "with a turn"}),
    ],
)
def test_other_kinds(record, args, cells):
    log(record, *ANNA, *args)
    (row,) = rows(record)
    assert {name: row[name] for name in cells} == cells


def test_today_is_the_default(record):
    assert re.fullmatch(r"20\d\d-\d\d-\d\d", logged(record, *SWIM[:2], *SWIM[4:])["rows"][0]["date"])


def test_a_slip_in_the_name_is_pointed_out(record):
    log(record, *SWIM)
    assert "which has Anna" in logged(record, "--name", "Ana", *SWIM[2:])["notes"][0]
    assert logged(record, "--name", "Mia", *SWIM[2:])["notes"] == []


def test_a_coach_s_own_columns_and_marks_stay(record):
    before = (
        "\ufeffName;Swimmer;date;How;Time (s);distance (yd);mood\r\nx;Mia;25.11.2026;every-2;14,5;25;gut\r\n"
    )
    record.write_bytes(before.encode())
    log(
        record,
        "--name",
        "Anna",
        "--date",
        "25.11.2026",
        "--how",
        "every-4",
        "--distance",
        "25yd",
        "--time",
        "14.25",
    )
    assert record.read_bytes() == (before + ";Anna;2026-11-25;every-4;14,25;25;\r\n").encode()


def test_a_row_is_corrected(record):
    log(record, *SWIM, "--strokes", "14")
    log(record, *ANNA, "--how", "snorkel", "--distance", "25m", "--time", "41.20", "--note", "late")
    before = record.read_text()
    told = logged(record, "--edit", "3", "--time", "14.20", "--left-out")
    assert told["kept"] == "squad.csv.1" and told["swimmer"] == "Anna" and told["rows"][0]["time_s"] == 14.2
    assert record.with_name("squad.csv.1").read_text() == before
    assert record.read_text() == before.replace("41.20", "14.20").replace("late", "late; left out")
    words = log(record, "--edit", "2", "--drop", "4deg", "--kind", "drop", "--how", "every-2; belt 2kg")
    assert "corrected in squad.csv" in words and "squad.csv.2" in words
    now = record.read_text()
    for args, word in (
        (["--edit", "9", "--time", "14.2"], "2 to 3"),
        (["--edit", "3"], "what the row should say"),
        (["--edit", "3", "--time", "14.2", "--time", "14.3"], "2 values"),
        (["--edit", "3", "--time", "1h"], "time"),
        (["--edit", "3", "--load", "20N"], "kind swim"),
        (["--edit", "x", "--time", "14.2"], "edit"),
    ):
        assert word in refused(record, *args), args
    assert record.read_text() == now
    assert sorted(os.listdir(record.parent)) == ["squad.csv", "squad.csv.1", "squad.csv.2", "squad.csv.lock"]


KINDS = {
    "swim": ["--how", "every-2", "--distance", "50m", "--time", "31.00"],
    "drop": ["--kind", "drop", "--drop", "4deg", "--side", "both"],
    "frames": ["--kind", "frames", "--film", "film.csv"],
    "glide": ["--kind", "glide", "--points", "0.5s:1.1m", "--depth", "60cm"],
    "loaded": ["--kind", "loaded", "--distance", "25m", "--time", "16", "--load", "20N"],
    "race": ["--kind", "race", "--event", "100 free", "--course", "scm", "--time", "1:01.4"],
    "remark": ["--kind", "remark", "--note", "tired"],
}


@pytest.mark.parametrize(
    "kind, args, cells",
    [
        (
            "swim",
            ["--how", "Snorkel", "--surface", "30m", "--set", "b", "--order", "4", "--by", "pads"],
            {"how": "snorkel", "surface (m)": "30", "set": "b", "order": "4", "by": "pads"},
        ),
        (
            "swim",
            ["--stroke", "fly", "--how", "every-1", "--strokes", "30", "--turn", "--left-out"],
            {"stroke": "fly", "how": "every-1", "strokes": "30", "note": "left out; with a turn"},
        ),
        (
            "drop",
            ["--drop", "6cm", "--drop-sd", "1cm", "--side", "away", "--breaths", "5", "--how", "every-4"],
            {
                "drop (deg)": "0.06 m",
                "drop sd (deg)": "0.01 m",
                "side": "away",
                "breaths": "5",
                "how": "every-4",
            },
        ),
        ("frames", ["--film", "other.csv", "--side", "away"], {"note": "other.csv", "side": "away"}),
        (
            "glide",
            ["--points", "0.6s:1.3m", "--drop", "8deg", "--depth", "0.5m", "--set", "2"],
            {
                "time (s)": "0.60",
                "distance (m)": "1.3",
                "drop (deg)": "8",
                "depth (m)": "0.5",
                "set": "2",
            },
        ),
        ("glide", ["--distance", "120cm"], {"time (s)": "0.50", "distance (m)": "1.2"}),
        ("glide", ["--time", "0.7s"], {"time (s)": "0.70", "distance (m)": "1.1"}),
        ("loaded", ["--load", "25N"], {"how": "every-2; tether 25 N"}),
        ("loaded", ["--tow", "15N", "--by", "video"], {"how": "every-2; tow 15 N", "by": "video"}),
        (
            "loaded",
            ["--how", "every-4; belt 2kg", "--load", "25N"],
            {"how": "every-4; belt 2 kg; tether 25 N"},
        ),
        (
            "loaded",
            ["--how", "every-2", "--time", "14.1", "--distance", "25yd", "--set", "2"],
            {"how": "every-2", "time (s)": "14.10", "distance (m)": "22.86", "set": "2"},
        ),
        (
            "race",
            ["--event", "200 back", "--time", "2:20"],
            {"how": "200 backstroke; scm", "stroke": "back", "distance (m)": "200", "time (s)": "140.00"},
        ),
        ("race", ["--course", "lcm"], {"how": "100 freestyle; lcm", "time (s)": "61.40"}),
        ("race", ["--time", "30.5/50"], {"how": "100 freestyle; scm", "time (s)": "61.00"}),
        (
            "remark",
            ["--note", "fresh", "--date", "1.12.2026", "--name", "Mia"],
            {"note": "fresh", "date": "2026-12-01", "swimmer": "Mia"},
        ),
    ],
)
def test_a_row_takes_every_column_of_its_kind(record, kind, args, cells):
    log(record, *ANNA, "--kind", "remark", "--note", "first")
    log(record, *ANNA, *KINDS[kind])
    log(record, *ANNA, "--kind", "remark", "--note", "last")
    before, head = rows(record), record.read_bytes().splitlines()
    told = logged(record, "--edit", "3", *args)
    assert told["kept"] == "squad.csv.1"
    now = rows(record)
    assert {name: now[1][name] for name in cells} == cells
    # What was not given is as it was, to the byte in other rows.
    written = set(cells) | ({"stroke", "distance (m)"} if "how" in cells and kind == "race" else set())
    assert {n: c for n, c in now[1].items() if n not in written} == {
        n: c for n, c in before[1].items() if n not in written
    }
    lines = record.read_bytes().splitlines()
    assert (lines[:2], lines[3:]) == (head[:2], head[3:])
    if "tether" in cells.get("how", ""):
        assert any("tether" in caution.lower() for caution in told["cautions"])


@pytest.mark.parametrize(
    "kind, args, words",
    [
        ("swim", ["--drop", "4deg"], ["drop", "kind swim"]),
        ("swim", ["--points", "1s:1m"], ["points", "kind swim"]),
        ("swim", ["--event", "100 free"], ["event", "kind swim"]),
        ("swim", ["--tow", "20N"], ["tow", "kind swim"]),
        ("swim", ["--how", "snorkel", "--how", "every-2"], ["how", "2 values"]),
        ("swim", ["--how", "upside down"], ["how", "snorkel"]),
        ("swim", ["--time", "14,32"], ["time", "decimal point"]),
        ("drop", ["--time", "14"], ["time", "kind drop"]),
        ("drop", ["--left-out"], ["left out", "kind drop"]),
        ("frames", ["--note", "x"], ["note", "film"]),
        ("glide", ["--points", "0.5s:1m,1s:2m"], ["points", "2 points", "one point"]),
        ("glide", ["--points", "0.5s"], ["points", "0.5s:1.1m"]),
        ("glide", ["--points", "0.5s:1m", "--time", "1s"], ["time", "beside points"]),
        ("glide", ["--points", "0.5s:1km"], ["distance", "row 2", "50 m"]),
        ("glide", ["--depth", "9m"], ["depth", "row 2", "5"]),
        ("glide", ["--stroke", "fly"], ["stroke", "kind glide"]),
        ("loaded", ["--load", "20N", "--tow", "20N"], ["load", "both"]),
        ("loaded", ["--load", "500N"], ["load", "300"]),
        ("loaded", ["--surface", "15m"], ["surface", "kind loaded"]),
        ("race", ["--how", "every-2"], ["how", "kind race"]),
        ("race", ["--event", "100 fre"], ["event"]),
        ("race", ["--course", "pond"], ["course"]),
        ("race", ["--event", "1500 free"], ["time", "row 2"]),
        ("race", ["--time", "20"], ["time"]),
        ("remark", ["--drop", "4deg"], ["drop", "kind remark"]),
        ("remark", ["--kind", "swum"], ["kind", "swim, drop"]),
    ],
)
def test_a_correction_refused_leaves_all_as_it_was(record, kind, args, words):
    log(record, *ANNA, *KINDS[kind])
    before = record.read_bytes()
    line = refused(record, "--edit", "2", *args)
    assert all(word in line for word in words), line
    assert record.read_bytes() == before
    assert sorted(os.listdir(record.parent)) == ["squad.csv", "squad.csv.lock"]


# --- what is refused --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "args, words",
    [
        ([], ["name", "nothing"]),
        (["--name", "Anna"], ["distance", "nothing"]),
        ([*ANNA, "--distance", "25m", "--time", "14"], ["how", "every-2"]),
        ([*ANNA, "--distance", "25m", "--how", "every-2"], ["time", "14.32"]),
        ([*ANNA, "--distance", "25", "--how", "every-2", "--time", "14"], ["distance", "without a unit"]),
        (["--date", "2026-02-30", *SWIM[:2], *SWIM[4:]], ["date", "2026-11-25"]),
        ([*SWIM[:-1], "0"], ["time (s)", "row 2", "8.33 s to 125 s"]),
        ([*SWIM[:-1], "14,32"], ["time", "decimal point"]),
        ([*SWIM[:-1], "0:61"], ["time", "below 60"]),
        ([*SWIM, "--strokes", "14.5"], ["strokes", "whole number"]),
        ([*SWIM, "--strokes", "14", "--strokes", "15"], ["strokes", "2 for 1 swims"]),
        ([*SWIM, "--order", "0"], ["order", "1 or more"]),
        ([*SWIM, "--surface", "30m"], ["surface", "25 m"]),
        ([*SWIM, "--by", "sundial"], ["timing"]),
        ([*SWIM, "--kind", "swum"], ["kind", "swim, drop"]),
        ([*SWIM, "--drop", "4deg"], ["drop", "nothing with the kind swim"]),
        ([*SWIM, "--note", "=A1"], ["note", "spreadsheet would compute"]),
        ([*SWIM, "--set", "3-4"], ["set", "spreadsheet makes no date"]),
        ([*ANNA, "--kind", "drop"], ["drop", "4deg"]),
        ([*ANNA, "--kind", "drop", "--drop", "4"], ["drop", "without a unit"]),
        ([*ANNA, "--kind", "drop", "--drop", "4deg", "--side", "left"], ["side"]),
        ([*ANNA, "--kind", "glide", "--points", "1.1m"], ["points", "0.5s:1.1m"]),
        ([*ANNA, "--kind", "race", "--event", "100 fre", "--time", "61"], ["event"]),
        ([*ANNA, "--kind", "race", "--event", "100 free", "--time", "21"], ["time"]),
        (
            [*ANNA, "--kind", "loaded", "--distance", "25m", "--time", "14", "--load", "20N", "--tow", "20N"],
            ["load"],
        ),
        ([*ANNA, "--kind", "remark"], ["note"]),
        ([*ANNA, "--kind", "frames"], ["film"]),
        ([*ANNA, "--kind", "drop", "--drop", "4deg", "--breaths", "0"], ["breaths", "got 0", "1 or more"]),
        (
            [*ANNA, "--kind", "drop", "--drop", "4deg", "--breaths", "some"],
            ["breaths", "some", "whole number"],
        ),
        ([*ANNA, "--kind", "drop", "--drop", "4deg", "--depth", "60cm"], ["depth", "60cm", "kind drop"]),
        ([*ANNA, "--kind", "glide", "--points", "1s:1m", "--depth", "9m"], ["depth", "9", "5"]),
        ([*SWIM, "--breaths", "5"], ["breaths", "kind swim"]),
    ],
)
def test_refused_in_one_line_and_nothing_written(record, args, words):
    line = refused(record, *args)
    assert all(word in line for word in words), line
    assert not record.exists()


@pytest.mark.parametrize(
    "text",
    [
        "date,swimmer\n2026-11-25,Anna\n",  # columns are missing
        TITLES + '\n2026-11-25,Anna,remark,,,,,,,,,,,,,"never closed\n',
        TITLES + "\n" + "1," * 20 + "\n",
        TITLES + "\n\0\n",
        TITLES.replace("swimmer", "date") + "\n",
        "\xff\xfet\0",
    ],
)
def test_a_file_that_is_no_record_is_left_alone(record, text):
    record.write_bytes(text.encode("latin-1"))
    refused(record, *SWIM)
    assert record.read_bytes() == text.encode("latin-1")


def test_a_spreadsheet_that_has_it_open(record):
    log(record, *SWIM)
    before = record.read_bytes()
    (record.parent / ".~lock.squad.csv#").write_text("")
    assert "close it there first" in refused(record, *SWIM)
    assert record.read_bytes() == before


# --- nothing is lost --------------------------------------------------------------------------------


def test_a_row_cut_off_is_kept_beside(record):
    log(record, *SWIM)
    whole = record.read_text()
    record.write_text(whole + "2026-11-25,Anna,swim,cra")
    tree = logged(record, *SWIM)
    assert "cut off" in tree["notes"][0] and len(rows(record)) == 2
    assert (record.parent / "squad.csv.cut-off").read_text() == "2026-11-25,Anna,swim,cra\n"
    assert (record.parent / "squad.csv.before-repair").read_text() == whole + "2026-11-25,Anna,swim,cra"


def test_eight_at_once(record):
    def write(who):
        for i in range(6):
            log(record, *SWIM, "--note", f"{who} wrote {i}")

    threads = [threading.Thread(target=write, args=(f"n{k}",)) for k in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = rows(record)
    assert {row["note"] for row in found} == {f"n{k} wrote {i}" for k in range(8) for i in range(6)}
    assert sorted(int(row["order"]) for row in found) == list(range(1, 49))
    assert all(None not in row and None not in row.values() for row in found)


def test_killed_at_any_moment(record):
    """What came back with 0 is there, and every row is whole."""
    promised = []
    for i in range(60):
        process = subprocess.Popen(
            [DRAGCALC, "log", record.name, *SWIM, "--note", f"n{i}"],
            cwd=record.parent,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        try:
            process.wait(timeout=0.0005 * i)
        except subprocess.TimeoutExpired:
            process.send_signal(signal.SIGKILL)
        if process.wait() == 0:
            promised.append(f"n{i}")
    log(record, *SWIM, "--note", "last")
    found = rows(record)
    assert {"last", *promised} <= {row["note"] for row in found}
    assert all(None not in row and None not in row.values() for row in found)


@pytest.mark.parametrize("room", [0, 1, 30])
@pytest.mark.parametrize("signalled", [False, True])
def test_a_full_disk(record, room, signalled):
    log(record, *SWIM)
    before = record.read_bytes()

    def no_room():
        if not signalled:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + room, len(before) + room))

    done = run("log", record.name, *SWIM, cwd=record.parent, preexec_fn=no_room)
    if done.returncode != -signal.SIGXFSZ:
        assert "room left" in one_line(done)
    assert record.read_bytes() == before


def test_a_folder_that_may_not_be_written():
    # No lock holds root, so root sends somebody else, with a copy of the program where anybody can reach it.
    somebody = {} if os.geteuid() else {"user": 65534, "group": 65534, "extra_groups": []}
    with tempfile.TemporaryDirectory(dir="/tmp") as outer:
        os.chmod(outer, 0o755)
        program = shutil.copy(DRAGCALC, os.path.join(outer, "dragcalc"))
        os.chmod(program, 0o755)
        folder = pathlib.Path(outer, "locked")
        folder.mkdir()
        record = folder / "squad.csv"
        record.write_text(TITLES + "\n")
        folder.chmod(0o555)
        for target in (record, folder / "new.csv"):
            done = subprocess.run(
                [program, "log", str(target), *SWIM], capture_output=True, timeout=1200, cwd="/", **somebody
            )
            assert "can be written to" in one_line(done)
        assert os.listdir(folder) == ["squad.csv"] and record.read_text() == TITLES + "\n"
        folder.chmod(0o755)
