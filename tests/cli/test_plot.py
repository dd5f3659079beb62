"""--plot: the picture of an answer beside its words, as a file."""

import json
import re
import shutil
import subprocess
from xml.etree import ElementTree

import pytest

from test_measured import QUICK, SWIMS, record  # noqa: F401 (a fixture)
from typed import DRAG, MAIN, RACE, WHO, answer, one_line, refused, run

RACE_OF_SQUAD = ["cost", "--squad", "squad.csv", "--hip-drop", "4deg"]
SVG = "{http://www.w3.org/2000/svg}"
STROKE = ["stroke", "--speed", "1.5m/s", *WHO, "--hip-drop", "4deg", "--draws", "100"]
NAMED = ["squad.csv", "--name", "Anna"]
QUESTIONS = {
    "cost": MAIN,
    "cost of several": ["cost", *RACE, "--hip-drop", "4deg", "--all-events"],
    "cost of a head": ["cost", *RACE, *WHO, "--head-lift", "6cm"],
    "cost, what if": [*MAIN, "--what-if", "1deg,2deg,8deg"],
    "cost, a gain": [*MAIN, "--want", "0.2s"],
    "cost, two times": ["cost", *RACE, "--time-without", "1:02.00"],
    "cost by the record": [*MAIN, "--record", *NAMED, *QUICK],
    "compare": ["compare", *RACE, "--hip-drop", "4deg", "--steady-drop", "2deg", "--instead", "every-3"],
    "drag": [*DRAG, "--draws", "1000"],
    "stroke": STROKE,
    "evidence": ["evidence"],
    "trials": ["trials", "swims.csv", "--distance", "25m"],
    "trials, priced": ["trials", *NAMED, *RACE, *QUICK],
    "measured": ["measured", *NAMED, *RACE, *QUICK],
    "progress": ["progress", "weeks.csv", *RACE],
}


@pytest.fixture
def place(record, tmp_path):
    (tmp_path / "swims.csv").write_text("how,time (s)\n" + "".join(f"{how},{t}\n" for how, t in SWIMS))
    weeks = [(1, 4.3), (8, 3.9), (15, 3.6), (22, 3.5), (29, 2.9)]
    (tmp_path / "weeks.csv").write_text(
        "date,swimmer,kind,stroke,how,drop (deg),drop sd (deg),side\n"
        + "".join(f"2026-09-{day:02},Mia,drop,crawl,every-2,{drop},0.5,both\n" for day, drop in weeks)
    )
    return tmp_path


def told(place, *args):
    done = run(*args, cwd=place)
    assert done.returncode == 0 and not done.stderr, done.stderr.decode()
    return done.stdout


DRAWN = {}


def drawn(place, question):
    """What a question with a picture answers, and the picture: asked once for all that look at it."""
    if question not in DRAWN:
        before = {path.name for path in place.iterdir()}
        said = told(place, *QUESTIONS[question], "--plot", "it.svg")
        assert {path.name for path in place.iterdir()} - before == {"it.svg"}
        DRAWN[question] = said, (place / "it.svg").read_bytes()
    said, picture = DRAWN[question]
    (place / "it.svg").write_bytes(picture)
    return said


@pytest.mark.parametrize("question", QUESTIONS)
def test_the_picture_is_drawn_and_the_answer_is_as_without(question, place):
    assert drawn(place, question) == told(place, *QUESTIONS[question])
    text = (place / "it.svg").read_text(encoding="utf-8")
    root = ElementTree.fromstring(text)
    assert root.tag == SVG + "svg" and root.get("role") == "img"
    assert len(text) < 40_000
    title, description = root.findtext(SVG + "title"), root.findtext(SVG + "desc")
    assert title and re.search(r"\d", description)
    assert not re.search(r"href|<script|url\(|http(?!://www.w3.org/2000/svg)", text)
    width, height = map(float, root.get("viewBox").split()[2:])
    for element in root.iter():
        for name, value in element.attrib.items():
            if name in ("x", "x1", "x2", "cx"):
                assert -1 <= float(value) <= width + 1, ElementTree.tostring(element)
            if name in ("y", "y1", "y2", "cy"):
                assert -1 <= float(value) <= height + 1, ElementTree.tostring(element)


@pytest.mark.parametrize("form", ["--json", "--csv"])
def test_other_forms_of_the_answer_have_the_same_picture(form, place):
    told(place, *MAIN, "--plot", "words.svg")
    assert told(place, *MAIN, form, "--plot", "form.svg") == told(place, *MAIN, form)
    assert (place / "form.svg").read_bytes() == (place / "words.svg").read_bytes()


@pytest.mark.skipif(shutil.which("rsvg-convert") is None, reason="no rsvg-convert: librsvg2-bin")
@pytest.mark.parametrize("question", ["cost", "drag", "evidence", "measured"])
def test_a_renderer_draws_it(question, place):
    drawn(place, question)
    png = subprocess.run(
        ["rsvg-convert", "-w", "360", "it.svg"], cwd=place, capture_output=True, check=True, timeout=60
    )
    assert not png.stderr and png.stdout.startswith(b"\x89PNG") and len(png.stdout) > 5000


def test_what_is_asked_is_in_the_picture(place):
    told(place, *MAIN, "--plot", "four.svg")
    told(place, *MAIN[:-1], "3deg", "--plot", "three.svg")
    four, three = ((place / name).read_text() for name in ("four.svg", "three.svg"))
    assert "4.0°: " in four and "3.0°: " in three and "4.0°: " not in three
    cost = re.search(r"Cost +([0-9.]+) s", told(place, *MAIN).decode())[1]
    assert f"4.0°: {cost} s" in four
    assert "1:02.40" in four


def test_a_file_is_replaced_only_if_asked(place):
    (place / "it.svg").write_text("mine")
    line = one_line(run(*MAIN, "--plot", "it.svg", cwd=place))
    assert line == "plot: got it.svg, which exists; allowed: a new file, or --force to replace it"
    assert (place / "it.svg").read_text() == "mine"
    told(place, *MAIN, "--plot", "it.svg", "--force")
    assert (place / "it.svg").read_text().startswith("<svg")


def test_what_cannot_be_a_picture_is_refused(place):
    for name in ("it.png", "", "svg", ".svg", "it.svg/"):
        assert "allowed: a file that ends in .svg" in one_line(run(*MAIN, "--plot", name, cwd=place))
    (place / "folder.svg").mkdir()
    assert "not of a folder" in one_line(run(*MAIN, "--plot", "folder.svg", cwd=place))
    line = one_line(run(*MAIN, "--plot", "no/such/it.svg", cwd=place))
    assert line.endswith("a place that can be written to")
    assert "without plot" in refused(*MAIN, "--force")
    squad = one_line(run("card", *RACE_OF_SQUAD[1:], "--out", "cards", "--plot", "it.svg", cwd=place))
    assert "--plot" in squad
    assert "unknown option '--plot'" in refused("body", *WHO, "--plot", "it.svg")
    assert {path.suffix for path in place.iterdir()} == {".csv", ".svg"}


SQUAD = (
    "name,sex,height (cm),mass (kg),event,time,hip drop (deg),steady drop (deg)\n"
    "Mia,f,168,58,200 free,2:15.10,3.5,2\nBen,m,185,80,100 fly,58.3,60,2\nAnna,f,172,63,100 free,1:02.40,4,1\n"
)


@pytest.mark.parametrize("question, value", [("cost", "cost_s"), ("compare", "gain_s")])
def test_a_squad_is_one_picture_in_its_order(question, value, tmp_path):
    """A bar with its range for each row that has an answer, as long as the answer says."""
    columns = SQUAD if question == "compare" else re.sub(r",[^,\n]*\n", "\n", SQUAD)
    (tmp_path / "squad.csv").write_text(columns)
    asked = [question, "--squad", "squad.csv", "--draws", "2000", "--json"]
    done = run(*asked, "--plot", "it.svg", cwd=tmp_path)
    assert done.returncode == 2 and b"row 3" in done.stderr
    rows = [row for row in json.loads(done.stdout)["squad"] if row["error"] is None]
    root = ElementTree.fromstring((tmp_path / "it.svg").read_text(encoding="utf-8"))
    texts = ["".join(text.itertext()) for text in root.iter(SVG + "text")]
    names = [words for words in texts if words.startswith(("Mia, ", "Anna, ", "Ben, "))]
    assert [words.split(",")[0] for words in names] == ["Mia", "Anna"]
    assert any("1 row has no answer" in words for words in texts)
    bars = [float(bar.get("width")) for bar in root.iter(SVG + "rect") if bar.get("class") == "a"]
    medians = [row[value]["median"] for row in rows]
    assert len(bars) == 2 and bars[0] / bars[1] == pytest.approx(medians[0] / medians[1], rel=0.01)
    description = root.findtext(SVG + "desc")
    for row in rows:
        assert f"{round(row[value]['median'], 1 if row[value]['median'] > 1 else 2)} s (" in description
    for caution in json.loads(done.stdout)["cautions"]:
        assert caution.split(".")[0][:40] in " ".join(texts)
    again = run(*asked, "--plot", "it.svg", cwd=tmp_path)
    assert again.returncode == 2 and b"which exists" in again.stderr


def test_a_refused_question_leaves_no_picture(place):
    one_line(run(*MAIN[:-1], "95deg", "--plot", "it.svg", cwd=place))
    assert not (place / "it.svg").exists()


def test_the_same_question_has_the_same_picture(place):
    told(place, *MAIN, "--plot", "one.svg")
    told(place, *MAIN, "--threads", "1", "--plot", "two.svg")
    assert (place / "one.svg").read_bytes() == (place / "two.svg").read_bytes()


def test_help_names_it():
    for command in ("cost", "drag", "stroke", "evidence", "trials", "measured", "progress", "compare"):
        assert "--plot" in answer(command, "--help")
