"""measured, trials, design: what a swimmer's own tests say, as a coach types and reads it."""

import re

import pytest

from typed import MAIN, RACE, WHO, answer, refused, whole_json

SWIMS = [
    ("snorkel", 14.31),
    ("every-2", 14.62),
    ("every-2", 14.55),
    ("snorkel", 14.40),
    ("snorkel", 14.38),
    ("every-2", 14.77),
    ("every-2", 14.60),
    ("snorkel", 14.35),
    ("snorkel", 14.42),
    ("every-2", 14.58),
    ("every-2", 14.70),
    ("snorkel", 14.44),
]
QUICK = ["--draws", "4000"]
HEADER = "date,swimmer,kind,stroke,how,set,order,distance (m),surface (m),time (s),by,strokes,drop (deg),drop sd (deg),side,note"
ESTIMATE = {"median", "low", "high"}


def write(path, lines):
    path.write_text("\n".join(lines) + "\n")
    return str(path)


@pytest.fixture
def record(tmp_path):
    rows = [
        f"2026-11-25,Anna,swim,crawl,{how},,{i},25,,{t:.2f},stopwatch,,,,,"
        for i, (how, t) in enumerate(SWIMS, 1)
    ]
    rows.append("2026-11-26,Anna,drop,crawl,every-2,,,,,,,,4,0.5,both,")
    rows.append("2026-11-26,Mia,drop,crawl,every-2,,,,,,,,2,0.5,both,")
    return write(tmp_path / "squad.csv", [HEADER, *rows])


@pytest.fixture
def times(tmp_path):
    return write(tmp_path / "swims.csv", ["how,time (s)", *(f"{how},{t:.2f}" for how, t in SWIMS)])


def has_range(value):
    assert ESTIMATE <= set(value)
    assert value["low"] <= value["median"] <= value["high"]
    return value


def check_tree(tree):
    for key in (
        "swimmer measurements watch whole_breath_s hips_s learnt not_learnt next conflicts effective_draws "
        "temperatures cautions"
    ).split():
        assert key in tree, key
    for fit in tree["measurements"]:
        assert {"kind", "date", "n", "expected", "seen", "tail"} <= set(fit)
        has_range(fit["expected"])
        assert 0 <= fit["tail"] <= 1
    if tree["watch"] is not None:
        assert {"gap_percent", "low", "high", "se_percent", "trend_percent", "cv_percent"} <= set(
            tree["watch"]
        )
    for key in ("whole_breath_s", "hips_s"):
        has_range(tree[key])
        has_range(tree[key]["before"])
    if tree["watch"] is not None:
        has_range(tree["hips_s"]["all_is_drag"])
    for learnt in tree["learnt"]:
        assert {"what", "before", "now"} <= set(learnt)
    assert all(isinstance(text, str) for text in tree["not_learnt"])
    assert tree["next"] and all({"do", "width_s"} <= set(item) for item in tree["next"])
    wide = tree["hips_s"]["high"] - tree["hips_s"]["low"]
    assert all(0 < item["width_s"] <= wide * (1 + 1e-9) for item in tree["next"])
    assert all(isinstance(text, str) for text in tree["cautions"] + tree["conflicts"])
    assert len(set(tree["cautions"])) == len(tree["cautions"])
    return tree


def read_aloud(words):
    """What every answer in words keeps to."""
    assert words.isascii()
    assert all(len(line) <= 80 for line in words.splitlines()), max(words.splitlines(), key=len)
    flat = " ".join(words.split())
    assert "->" not in flat and ".." not in flat and " ," not in flat and " ." not in flat
    twice = re.search(r"\b([a-z]+) \1\b", flat)
    assert not twice, twice
    assert not re.search(r"\b1 (swims|days|drops|films|glides|measurements)\b", flat)
    assert "nan" not in flat.lower().split() and "inf" not in flat.lower().split()
    return flat


def test_measured(record):
    call = ["measured", record, "--name", "Anna", *RACE, *WHO, *QUICK]
    tree = check_tree(whole_json(*call))
    assert {fit["kind"] for fit in tree["measurements"]} == {"swims", "drop"}
    assert tree["temperatures"] == 1 and 400 < tree["effective_draws"] <= 4000
    assert tree["watch"]["low"] < 1.7 < tree["watch"]["high"]
    words = read_aloud(answer(*call))
    for text in (
        "On the watch",
        "Whole breath",
        "Hips alone",
        "If all of the gap were drag",
        "Learnt",
        "Next",
        "Fit",
    ):
        assert text in words, text
    assert "Anna: 12 timed swims on 1 day, 1 drop" in words
    rows = answer(*call, "--csv").splitlines()
    assert rows[0].startswith("what,unit,before")
    assert len({row.count(",") >= 8 for row in rows}) == 1


def test_one_drop_alone(record):
    tree = check_tree(whole_json("measured", record, "--name", "mia", *RACE, *WHO, *QUICK))
    assert [fit["kind"] for fit in tree["measurements"]] == ["drop"]
    assert tree["watch"] is None and tree["hips_s"]["all_is_drag"] is None
    read_aloud(answer("measured", record, "--name", "Mia", *RACE, *WHO, *QUICK))


def test_a_squad_is_pooled_where_that_is_asked_for(tmp_path, record):
    with open(record, encoding="utf-8") as file:
        rows = file.read()
    more = [
        row.replace("Anna", who).replace(",14.", ",15.")
        for who in ("Mia", "Bea")
        for row in rows.splitlines()
        if ",swim," in row
    ]
    squad = write(
        tmp_path / "more.csv", [*rows.splitlines(), *more, "2026-11-26,Zoe,remark" + "," * 13 + "new"]
    )
    call = ["measured", squad, "--name", "Anna", *RACE, *WHO, *QUICK]
    alone, tree = check_tree(whole_json(*call)), check_tree(whole_json(*call, "--pool"))
    assert alone["pooled"] is None and alone["hips_s"] == whole_json(*call[:1], record, *call[2:])["hips_s"]
    assert tree["pooled"]["swimmers"] == ["Mia", "Bea"]
    ends = ("median", "low", "high")
    assert {k: alone["hips_s"][k] for k in ends} == tree["pooled"]["hips_alone_s"]
    assert {k: alone["whole_breath_s"][k] for k in ends} == tree["pooled"]["whole_breath_alone_s"]
    assert tree["hips_s"]["high"] < alone["hips_s"]["high"]
    assert [fit["whose"] for fit in tree["measurements"] if fit["whose"]] == ["Mia", "Bea"]
    assert any("Not pooled" in note and "Zoe" in note for note in tree["notes"])
    words = read_aloud(answer(*call, "--pool"))
    assert "Pooled with Mia, Bea; by her own tests alone the whole breath costs" in words
    assert "Mia, swims of 2026-11-25" in words
    assert "one with others" in refused(
        "measured", write(tmp_path / "one.csv", rows.splitlines()[:13]), "--pool", *RACE
    )
    # A row of another that cannot be read is named, and nothing is answered.
    bad = write(
        tmp_path / "bad.csv",
        [*rows.splitlines(), *more, more[0].replace("15.31", "1h").replace(",1,25", ",99,25")],
    )
    assert "row 40" in refused("measured", bad, "--name", "Anna", "--pool", *RACE)


def test_trials(tmp_path, times):
    alone = whole_json("trials", times, "--distance", "25m")
    assert alone["gap_percent"] == pytest.approx(1.75, abs=0.1)
    read_aloud(answer("trials", times, "--distance", "25m"))
    call = ["trials", times, "--distance", "25m", *RACE, *WHO, "--hip-drop", "4deg", *QUICK]
    tree = check_tree(whole_json(*call))
    assert tree["watch"]["gap_percent"] == alone["gap_percent"]
    read_aloud(answer(*call))
    # Times as a watch shows them, the distance in the file.
    clock = write(
        tmp_path / "clock.csv", ["how,time,distance (m)", *(f"{how},0:{t:.2f},25" for how, t in SWIMS)]
    )
    assert whole_json("trials", clock)["gap_percent"] == alone["gap_percent"]
    assert check_tree(whole_json("trials", clock, *call[4:]))["hips_s"] == tree["hips_s"]


def test_design(record):
    call = ["design", *RACE, *WHO, "--hip-drop", "4deg", "--swims", "2,6", "--days", "1", *QUICK]
    tree = whole_json(*call)
    assert [row["each"] for row in tree["rows"]] == [2, 6]
    assert tree["rows"][1]["whole_width_s"] < tree["rows"][0]["whole_width_s"]
    assert tree["next"] and "A snorkel, B every-2" in read_aloud(answer(*call))
    known = whole_json(
        "design", *RACE, *WHO, "--record", record, "--name", "Anna", "--swims", "4", "--days", "1", *QUICK
    )
    assert known["next"]
    read_aloud(
        answer(
            "design", *RACE, *WHO, "--record", record, "--name", "Anna", "--swims", "4", "--days", "1", *QUICK
        )
    )


def test_record_in_other_questions(record):
    of_her = ["--record", record, "--name", "Anna"]
    cost = ["cost", *RACE, *WHO, *QUICK]
    hips = whole_json("measured", record, "--name", "Anna", *RACE, *WHO, *QUICK)["hips_s"]
    known = whole_json(*cost, *of_her)["events"][0]
    # The same draws, the same weights: the same price.
    assert known["cost_s"]["median"] == pytest.approx(hips["median"], rel=1e-12)
    assert known["cost_s"]["high"] == pytest.approx(hips["high"], rel=1e-12)
    assert "By her record" in " ".join(answer(*cost, *of_her).split())
    for command in ("aids", "stroke"):
        call = [command, "--speed", "1.5mps", *WHO, *QUICK]
        if command == "aids":
            call += ["--belt", "1kg"]
        assert "By her record" in " ".join(answer(*call, *of_her).split()), command


BAD = {
    "one row": ["how,time (s)", "snorkel,14.3"],
    "one condition": ["how,time (s)", "snorkel,14.3", "snorkel,14.4", "snorkel,14.2"],
    "zero": ["how,time (s)", "snorkel,14.3", "every-2,0", "every-2,14.6", "snorkel,14.4"],
    "negative": ["how,time (s)", "snorkel,14.3", "every-2,-14", "every-2,14.6", "snorkel,14.4"],
    "a minute too much": ["how,time (s)", "snorkel,14.3", "every-2,61.0", "every-2,14.6", "snorkel,14.4"],
    "minutes": ["how,time (s)", "snorkel,14.3", "every-2,0.243", "every-2,14.6", "snorkel,14.4"],
    "mixed units": ["how,time (s)", "snorkel,14.3", "every-2,14.6min", "every-2,14.6", "snorkel,14.4"],
    "words": ["how,time (s)", "snorkel,14.3", "every-2,fast", "every-2,14.6", "snorkel,14.4"],
    "no pattern": ["how,time (s)", "snorkel,14.3", "every-x 9,14.5"],
    "no times": ["how", "snorkel", "every-2"],
    "header alone": ["how,time (s)"],
    "empty": [""],
}


@pytest.mark.parametrize("name", BAD)
@pytest.mark.parametrize("priced", (False, True))
def test_bad_trials(tmp_path, name, priced):
    path = write(tmp_path / "bad.csv", BAD[name])
    refused("trials", path, "--distance", "25m", *([*RACE, *WHO, "--hip-drop", "4deg"] if priced else []))


def test_bad_files(tmp_path, record):
    line = refused("measured", record, "--name", "Ana", *RACE, *WHO)
    assert "Anna" in line
    assert "Anna" in refused("measured", record, *RACE, *WHO)  # which of two
    binary = tmp_path / "binary.csv"
    binary.write_bytes(bytes(range(256)) * 4)
    nothing = tmp_path / "nothing.csv"
    nothing.write_bytes(b"")
    for path in (str(tmp_path), str(binary), str(nothing), str(tmp_path / "not-there.csv")):
        refused("measured", path, "--name", "Anna", *RACE, *WHO)
        refused("trials", path, "--distance", "25m")
        refused("cost", *RACE, *WHO, "--record", path, "--name", "Anna")
        refused("design", *RACE, *WHO, "--record", path, "--name", "Anna")
    for bad in (
        ["measured"],
        ["measured", record],
        ["measured", record, "--name", "Anna", "--event", "100 free"],
        ["measured", record, "--name", "Anna", "--event", "200 im", "--time", "2:30", *WHO],
        ["measured", record, "--name", "Anna", "--event", "100 fly", "--time", "1:10", *WHO],
        ["trials", record, "--name", "Anna", "--event", "100 free"],
        ["trials", record, "--name", "Anna", *RACE, *WHO, "--stroke", "fly"],
        [*MAIN, "--name", "Anna"],
        ["design", *RACE, *WHO, "--how", "snorkel"],
        ["design", *RACE, *WHO, "--swims", "0"],
        ["design", *RACE, *WHO, "--swims", "51"],
        ["design", *RACE, *WHO, "--days", "31"],
        ["design", *RACE, *WHO, "--distance", "200m"],
    ):
        refused(*bad)


def test_a_turn_in_the_timed_part_is_said(tmp_path):
    rows = [f"{how},{2.1 * t:.2f},50,turn" for how, t in SWIMS]
    path = write(tmp_path / "turn.csv", ["how,time (s),distance (m),note", *rows])
    words = " ".join(answer("trials", path).split())
    assert "A turn lies in the timed part" in words
