"""angle: points on a side view to incline and hip drop, and what it refuses."""

import csv
import io
import math
import random

import pytest

from typed import WHO, answer, refused, whole_json

PAIR = [
    "--shoulder",
    "412,310",
    "--hip",
    "294,339",
    "--without-shoulder",
    "700,305",
    "--without-hip",
    "582,326",
]
INTERVAL = {"median", "low", "high", "level"}
HEAD = "breath,frame,time (s),shoulder x (px),shoulder y (px),hip x (px),hip y (px)"


def interval(value):
    assert set(value) == INTERVAL
    assert value["low"] < value["median"] < value["high"]
    return value


def points(path, breaths=5, sides=("toward",), drop=4.0, frames=True, seed=1, to_left=False):
    """A film of raised cosines 0.45 of a 1.2 s cycle wide, 30 frames a second, marks with a slip of 1 px."""
    random_of = random.Random(seed)
    rows = [HEAD + ",head x (px),head y (px),side"]

    def row(breath, frame, t, incline, head, side):
        line, slip = 120.0, lambda: random_of.gauss(0.0, 1.0)
        back = line if to_left else -line
        x, y = 640.0, 360.0
        hip = (x + back * math.cos(math.radians(incline)), y + line * math.sin(math.radians(incline)))
        rows.append(
            f"{breath},{frame},{t:.4f},{x + slip():.1f},{y + slip():.1f},{hip[0] + slip():.1f},{hip[1] + slip():.1f}"
            f",{x - 0.4 * back + slip():.1f},{y + 6 - head + slip():.1f},{side}"
        )

    name = 0
    for side in sides:
        for _ in range(breaths):
            name += 1
            for frame in range(-18, 19) if frames else [4]:
                t = frame / 30
                pulse = lambda x: 0.5 * (1 + math.cos(2 * math.pi * x)) if abs(x) < 0.5 else 0.0
                lowest = 1.0 if not frames else pulse((t / 1.2 - 0.1) / 0.45)
                row(name, frame, t, 10 + drop * lowest, 14 * pulse(t / 1.2 / 0.4), side)
            row("", 0, 0.0, 10.0, 0.0, side)
    path.write_text("\n".join(rows) + "\n")
    return str(path)


def test_one_pair():
    tree = whole_json("angle", *PAIR)
    # atan(29/118) and atan(21/118) deg
    assert interval(tree["breath_incline_deg"])["median"] == pytest.approx(13.81, abs=0.45)
    assert interval(tree["incline_deg"])["median"] == pytest.approx(10.09, abs=0.4)
    assert interval(tree["hip_drop_deg"])["median"] == pytest.approx(3.72, abs=0.2)
    assert tree["pulse_width"] is None and tree["lag"] is None and tree["hip_depth_m"] is None
    assert any("roll" in line for line in tree["cautions"])
    assert (tree["breaths"], tree["without"], tree["side"]) == (1, 1, "toward")
    assert {"version", "seed", "draws", "replaced"} <= set(tree)
    shares = [part["share"] for part in tree["because"]]
    assert shares == sorted(shares, reverse=True) and shares[0] > 0.2
    words = " ".join(answer("angle", *PAIR).split())
    for text in ("Hip drop", "1 breath and 1 stroke without one", "Doubt", "the roll of the body", "Caution"):
        assert text in words
    # The second photo has the hips on the other side of the shoulder.
    other = [x.replace("294,339", "530,339").replace("582,326", "818,326") for x in PAIR]
    assert whole_json("angle", *other)["hip_drop_deg"] == tree["hip_drop_deg"]


def test_one_photo_is_no_drop():
    tree = whole_json("angle", "--without-shoulder", "412,310", "--without-hip", "294,331")
    assert tree["hip_drop_deg"] is None and interval(tree["incline_deg"])
    words = " ".join(answer("angle", "--shoulder", "412,310", "--hip", "294,331").split())
    assert "an incline, not a drop" in words and "Hip drop" not in words


def test_centimetres_and_legs():
    tree = whole_json("angle", *PAIR, *WHO, "--without-ankle", "482,360")
    assert interval(tree["hip_depth_m"])["median"] == pytest.approx(0.033, abs=0.005)
    assert interval(tree["legs_deg"])["median"] == pytest.approx(
        math.degrees(math.atan2(34, 100) - math.atan2(21, 118)), abs=0.3
    )
    assert "cm) at the hips" in " ".join(answer("angle", *PAIR, *WHO).split())
    refused("angle", *PAIR, "--height", "172cm")


def test_the_camera():
    plain = whole_json("angle", *PAIR)
    tilted = whole_json("angle", *PAIR, "--horizon", "0,300,1000,335")
    # She swims to the right: a horizon that falls 2 deg to the right takes them off a trunk that falls to the left.
    assert tilted["incline_deg"]["median"] == pytest.approx(plain["incline_deg"]["median"] + 2.0, abs=0.2)
    assert tilted["hip_drop_deg"]["median"] == pytest.approx(plain["hip_drop_deg"]["median"], abs=0.1)
    width = lambda tree, name: tree[name]["high"] - tree[name]["low"]
    assert width(tilted, "hip_drop_deg") < width(plain, "hip_drop_deg")
    assert width(whole_json("angle", *PAIR, "--slip", "4px"), "hip_drop_deg") > 1.5 * width(
        plain, "hip_drop_deg"
    )
    above = whole_json("angle", *PAIR, "--above-water")
    assert above["hip_drop_deg"]["median"] > 2 * plain["hip_drop_deg"]["median"]
    assert any("through the surface" in line for line in above["cautions"])
    surer = whole_json("angle", *PAIR, "--set", "film.roll.drop=0+-0.1")
    assert width(surer, "hip_drop_deg") < width(plain, "hip_drop_deg")
    assert surer["replaced"][0]["key"] == "film.roll.drop"


@pytest.mark.parametrize("to_left", [False, True])
def test_a_film(tmp_path, to_left):
    one = whole_json("angle", points(tmp_path / "one.csv", to_left=to_left), "--cycle", "1.2s")
    both = whole_json(
        "angle", points(tmp_path / "both.csv", sides=("toward", "away"), to_left=to_left), "--cycle", "1.2s"
    )
    for tree in (one, both):
        assert tree["hip_drop_deg"]["low"] < 4.0 < tree["hip_drop_deg"]["high"]
        assert interval(tree["pulse_width"])["median"] == pytest.approx(0.45, abs=0.04)
        assert interval(tree["lag"])["median"] == pytest.approx(0.1, abs=0.03)
    assert (one["side"], both["side"]) == ("toward", "both")
    assert (both["breaths"], both["without"]) == (10, 10)
    assert both["hip_drop_deg"]["median"] == pytest.approx(4.0, abs=0.6)
    width = lambda tree: tree["hip_drop_deg"]["high"] - tree["hip_drop_deg"]["low"]
    assert width(both) < 0.65 * width(one)
    assert not both["cautions"]
    words = " ".join(answer("angle", str(tmp_path / "both.csv"), "--cycle", "50/min").split())
    assert (
        "from both sides" in words and "of the stroke cycle" in words and "after the head is highest" in words
    )
    table = list(csv.DictReader(io.StringIO(answer("angle", str(tmp_path / "both.csv"), "--csv"))))
    assert len(table) == 1 and float(table[0]["hip_drop_low_deg"]) < float(table[0]["hip_drop_deg"])


def test_breaths_marked_once_each(tmp_path):
    tree = whole_json("angle", points(tmp_path / "few.csv", frames=False))
    assert tree["breaths"] == 5 and tree["pulse_width"] is None
    assert tree["hip_drop_deg"]["median"] == pytest.approx(4.0, abs=1.5)


def test_a_spreadsheet_s_file(tmp_path):
    path = tmp_path / "saved.csv"
    path.write_bytes(
        "\ufeffBreath;Time (s);Shoulder x (px);Shoulder y (px);Hip x (px);Hip y (px)\r\n"
        "1;0,10;412,0;310,0;294,0;339,0\r\n;0,10;700;305;582;326\r\n".encode()
    )
    assert whole_json("angle", str(path))["hip_drop_deg"] == whole_json("angle", *PAIR)["hip_drop_deg"]


@pytest.mark.parametrize(
    "args, words",
    [
        ([], "shoulder"),
        (["--shoulder", "412,310"], "hip"),
        (["--shoulder", "412,310", "--hip", "412,310"], "0 px apart"),
        (["--shoulder", "412", "--hip", "290,322"], "412"),
        (["--shoulder", "412,x", "--hip", "290,322"], "x"),
        (["--shoulder", "nan,310", "--hip", "290,322"], "nan"),
        (["--shoulder", "412,310", "--hip", "294,339", "--hip", "294,340"], "one of each"),
        ([*PAIR, "--ankle", "1,2", "--ankle", "3,4"], "ankles"),
        ([*PAIR, "--horizon", "0,0,0,0"], "horizon"),
        ([*PAIR, "--horizon", "0,300"], "0,300"),
        ([*PAIR, "--horizon", "0,0,10,900"], "upright"),
        ([*PAIR, "--side", "both"], "toward or away"),
        ([*PAIR, "--side", "left"], "left"),
        ([*PAIR, "--slip", "0px"], "slip"),
        ([*PAIR, "--cycle", "20s"], "cycle"),
        (["--shoulder", "294,339", "--hip", "412,200"], "upside down"),
        (["--shoulder", "300,300", "--hip", "305,500"], "on its side"),
        (["missing.csv"], "missing.csv"),
    ],
)
def test_refused(args, words):
    assert words in refused("angle", *args)


@pytest.mark.parametrize(
    "rows, words",
    [
        (["breath,shoulder x (px)", "1,3"], "shoulder y"),
        ([HEAD, "1,1,0.1,412,310,294,"], "hip y"),
        ([HEAD, "1,1,0.1,412,310,294,abc"], "row 2"),
        ([HEAD + ",side", "1,1,0.1,412,310,294,339,up"], "row 2"),
        ([HEAD, "1,1,0.2,412,310,294,339", "1,2,0.1,412,310,294,339"], "times that rise"),
        ([HEAD + ",side", "1,1,0.1,412,310,294,339,toward", ",1,0.1,412,310,294,330,away"], "same side"),
        ([HEAD], "points"),
    ],
)
def test_refused_files(tmp_path, rows, words):
    path = tmp_path / "points.csv"
    path.write_text("\n".join(rows) + "\n")
    assert words in refused("angle", str(path))


def test_examples_of_the_help(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    points(tmp_path / "points.csv")
    answer(
        "angle", *"--shoulder 412,310 --hip 290,322 --without-shoulder 700,305 --without-hip 578,309".split()
    )
    answer("angle", "points.csv", "--cycle", "1.2s")
    assert "--without-shoulder 700,305" in " ".join(answer("angle", "--help").replace("\\\n", "").split())
