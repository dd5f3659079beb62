"""The swimmer's card and its pictures, as they are rendered."""

import functools
import html.parser
import json
import math
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import xml.etree.ElementTree as ElementTree

import pytest

DRAGCALC = os.environ["DRAGCALC"]
BODY = ["--sex", "f", "--height", "172cm", "--mass", "63kg"]
RACE = ["--event", "100 free", "--time", "1:02.40"]
FEW = ["--draws", "2000", "--date", "2026-11-25"]
SVG = "{http://www.w3.org/2000/svg}"


def run(*arguments):
    return subprocess.run([DRAGCALC, "card", *arguments], capture_output=True, text=True, timeout=120)


def made(path, *arguments):
    done = run(*arguments, "--out", str(path))
    assert done.returncode == 0, done.stderr
    return path.read_text(encoding="utf-8")


def answer(*arguments):
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@functools.cache
def shown(ending, *arguments):
    """The file that one run makes, and the answer beside it: once for all that look at them."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / f"card{ending}"
        answered = answer(*arguments, "--out", str(path))
        return path.read_text(encoding="utf-8"), answered


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    path = tmp_path_factory.mktemp("record") / "squad.csv"
    for date, drop in (("2026-10-01", "5deg"), ("2026-10-20", "4deg"), ("2026-11-10", "3deg")):
        log = ["log", str(path), "--name", "Anna", "--kind", "drop", "--date", date, "--drop", drop]
        done = subprocess.run([DRAGCALC, *log, "--drop-sd", "0.5deg"], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
    for how, times in (("snorkel", "14.10 14.20 14.05 14.15"), ("every-2", "14.40 14.35 14.45 14.38")):
        log = ["log", str(path), "--name", "Anna", "--date", "2026-11-10", "--how", how, "--distance", "25m"]
        for time in times.split():
            log += ["--time", time]
        done = subprocess.run([DRAGCALC, *log], capture_output=True, text=True)
        assert done.returncode == 0, done.stderr
    return str(path)


CASES = {
    "crawl": [*RACE, "--hip-drop", "4deg", *BODY],
    "all events": [*RACE, "--all-events", "--hip-drop", "4deg", *BODY],
    "head": ["--event", "200 fly", "--time", "2:20", "--head-lift", "8cm", "--sex", "m", "--height", "185cm",
             "--mass", "80kg"],
    "both": ["--event", "100 breast", "--time", "1:15", "--hip-drop", "6cm", "--head-lift", "8cm", *BODY],
    "back": ["--event", "200 back", "--time", "2:20", "--hip-drop", "3deg", "--when", "always", *BODY],
    "medley": ["--event", "400 IM", "--time", "5:10", "--hip-drop", "3deg", *BODY, "--age", "12"],
    "no breath": [*RACE, "--hip-drop", "4deg", "--breathe", "never", *BODY],
    "worn": [*RACE, "--hip-drop", "4deg", *BODY, "--age", "12", "--belt", "2kg", "--drogue", "900cm2"],
    "twelve": [*RACE * 12, "--hip-drop", "4deg", *BODY],
    "rarely": [*RACE, "--hip-drop", "4deg", "--breathe", "every-8", "--given", "without", *BODY],
}  # fmt: skip


class Balanced(html.parser.HTMLParser):
    """Tags that are opened and closed in order; ids once; what is referred to; the text that is seen."""

    def __init__(self, text):
        super().__init__()
        self.open, self.ids, self.seen, self.attributes = [], [], [], []
        self.feed(text)
        self.close()
        assert not self.open

    def handle_starttag(self, tag, attrs):
        self.open.append(tag)
        self.attributes += attrs
        self.ids += [value for name, value in attrs if name == "id"]

    def handle_startendtag(self, tag, attrs):
        self.attributes += attrs

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if not {"style", "title", "desc"} & set(self.open):
            self.seen.append(data)


@pytest.mark.parametrize("case", CASES)
def test_page_is_whole_and_refers_to_nothing(case):
    page, answered = shown(".html", *CASES[case], *FEW)
    parsed = Balanced(page)
    assert len(parsed.ids) == len(set(parsed.ids))
    ElementTree.fromstring(page.replace("<!DOCTYPE html>", "", 1))
    assert "http" not in page.replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert "<script" not in page and "url(" not in page and "@import" not in page
    assert not {"src", "href", "onload", "onclick"} & {name for name, _ in parsed.attributes}
    assert len(page.encode()) < 60_000
    assert "nan" not in page and "inf " not in page
    for caution in answered["cautions"]:
        assert caution in " ".join(parsed.seen)


@pytest.mark.parametrize("case", CASES)
def test_every_number_is_in_the_answer(case):
    """Rounded, or in a sentence that the answer has word by word."""
    numbers_are_those_of(*shown(".html", *CASES[case], *FEW))


def test_every_number_is_in_the_answer_with_a_record(record):
    page, answered = shown(".html", *RACE, *BODY, "--record", record, *FEW)
    numbers_are_those_of(page, answered)
    assert "Anna" in page and "Her own tests say" in page and "Is it closing?" in page
    assert answered["progress"]["verdict"] in page.replace("&#39;", "'")


def numbers_are_those_of(page, answered):
    numbers, sentences = set(), set()

    def collect(value):
        if isinstance(value, dict):
            for inner in value.values():
                collect(inner)
        elif isinstance(value, list):
            for inner in value:
                collect(inner)
        elif isinstance(value, str):
            sentences.add(value)
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            numbers.update({float(value), 100.0 * value})

    collect(answered)
    page = re.sub(r'<div class="chart">.*?</div>', "", page, flags=re.S)  # axes have numbers of their own
    seen = "\n".join(Balanced(page).seen)
    for sentence in sorted(sentences, key=len, reverse=True):
        if len(sentence) > 3:  # not "f", which is in words
            seen = seen.replace(sentence, " ")
    seen = re.sub(r"0\.5 m$", "", seen, flags=re.M)  # the scale
    seen = re.sub(r"\(50 m\)|\b\w+ m (freestyle|backstroke|breaststroke|butterfly|medley)", "", seen)
    for clock in re.findall(r"\d+:\d\d\.\d\d", seen):
        minutes, seconds = clock.split(":")
        assert any(abs(60 * int(minutes) + float(seconds) - n) < 0.006 for n in numbers), clock
    seen = re.sub(r"\d+:\d\d\.\d\d|libdrag [0-9.]+", "", seen)
    seen = re.sub(r"\bm2\b", "", seen)
    for text in re.findall(r"(?<![\w.])\d+(?:\.\d+)?", seen):
        half = 0.5 * 10.0 ** -len(text.partition(".")[2])
        if "." not in text and float(text) >= 100:
            half = 0.5 * 10.0 ** max(0, len(text) - 2)  # two digits of a large number
        assert any(abs(float(text) - n) <= half * 1.02 + 1e-9 for n in numbers), (text, seen)


CHANGES = {
    "time": (
        ["--event", "100 free", "--time", "1:02.40"],
        ["--event", "100 free", "--time", "0:55.10"],
        "1:02.40",
    ),
    "event": (RACE, ["--event", "200 free", "--time", "2:15.00"], "100 m freestyle"),
    "drop": (["--hip-drop", "4deg"], ["--hip-drop", "6deg"], "hips 4.0 deg lower"),
    "name": (["--sex", "f"], ["--sex", "m"], "female"),
    "height": (["--height", "172cm"], ["--height", "165cm"], "172 cm"),
    "date": (["--date", "2026-11-25"], ["--date", "2025-01-02"], "2026-11-25"),
    "seed": (["--seed", "3"], ["--seed", "4"], "seed 3"),
}


@pytest.mark.parametrize("change", CHANGES)
def test_no_stale_word_remains(change):
    before, after, stale = CHANGES[change]
    asked = [*RACE, "--hip-drop", "4deg", *BODY, "--seed", "3", *FEW]
    joined = "\0".join(asked)
    assert "\0".join(before) in joined
    changed = joined.replace("\0".join(before), "\0".join(after)).split("\0")
    first, second = shown(".html", *asked)[0], shown(".html", *changed)
    assert stale in first and stale not in second[0]
    numbers_are_those_of(*second)


def test_names_are_escaped(tmp_path):
    name = "<b>Mia</b> & \"Co\" 'x'"
    swimmer = tmp_path / "swimmer.json"
    save = ["body", *BODY, "--save", str(swimmer)]
    subprocess.run([DRAGCALC, *save], check=True, capture_output=True)
    described = json.loads(swimmer.read_text())
    described["name"] = name
    swimmer.write_text(json.dumps(described))
    asked = [*RACE, "--hip-drop", "4deg", "--swimmer", str(swimmer), *FEW]
    for ending in (".html", ".svg"):
        page = made(tmp_path / f"card{ending}", *asked)
        assert "<b>" not in page
        assert "&lt;b&gt;Mia&lt;/b&gt; &amp; &quot;Co&quot; &#39;x&#39;" in page


def test_the_same_bytes_again(tmp_path):
    asked = [*RACE, "--hip-drop", "4deg", *BODY, *FEW]
    page, answered = shown(".html", *asked)
    assert made(tmp_path / "a.html", *asked, "--threads", "1") == page
    assert answer(*asked) == answered


@pytest.mark.parametrize(
    "arguments, words",
    [
        ([], "out: got nothing"),
        (["--out", "card.pdf"], "out: got card.pdf"),
        (["--out", ""], "out: got nothing"),
        (["--out", "missing/card.html"], "out: got missing/card.html"),
        (["--force"], "force: got yes"),
        (["--out", "card.html", "--date", "31.2.2026"], "date: got 31.2.2026"),
        (["--out", "card.html", "--what-if", "3deg"], "--what-if"),
        (["--out", "card.html", "--name", "Anna"], "name: got Anna"),
        (["--out", "card.html", *RACE * 12], "event: got 13 events"),
    ],
)
def test_bad_input_is_one_line_and_writes_nothing(arguments, words, tmp_path):
    done = subprocess.run(
        [DRAGCALC, "card", *RACE, "--hip-drop", "4deg", *arguments],
        capture_output=True,
        text=True,
        cwd=tmp_path,
    )
    assert done.returncode == 2 and done.stdout == ""
    assert done.stderr.count("\n") == 1 and words in done.stderr, done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_file_is_kept_unless_forced(tmp_path):
    path = tmp_path / "card.svg"
    path.write_text("mine")
    asked = [*RACE, "--hip-drop", "4deg", *BODY, *FEW, "--out", str(path)]
    refused = run(*asked)
    assert refused.returncode == 2 and "which exists" in refused.stderr and path.read_text() == "mine"
    assert run(*asked, "--force").returncode == 0
    assert path.read_text().startswith("<svg") and [p.name for p in tmp_path.iterdir()] == ["card.svg"]


# --- as rendered --------------------------------------------------------------------------------------

rendered = pytest.mark.skipif(shutil.which("rsvg-convert") is None, reason="rsvg-convert is not installed")


def pixels(svg, width):
    """A rendering: rows of red, green, blue, opacity."""
    numpy = pytest.importorskip("numpy")
    image = pytest.importorskip("PIL.Image")
    import io

    png = subprocess.run(
        ["rsvg-convert", "-w", str(width)], input=svg.encode(), capture_output=True, check=True
    )
    return numpy.asarray(image.open(io.BytesIO(png.stdout)).convert("RGBA"))


def only(svg, **marks):
    """The picture with these marks alone, each in its style, on nothing."""
    shown = "".join(f".{mark}{{visibility:visible;{style}}}" for mark, style in marks.items())
    return re.sub(r"<style>.*?</style>", f"<style>*{{visibility:hidden}}{shown}</style>", svg)


RED, BLUE = 0, 2


def is_of(colour, seen):
    """Where more than half of a pixel is."""
    return (seen[..., colour] > 200) & (seen[..., 1] < 100) & (seen[..., 3] > 127)


@rendered
@pytest.mark.parametrize("case", ["crawl", "both", "back"])
def test_the_pixels_of_the_front_are_the_area(case):
    svg, answered = shown(".svg", *CASES[case], *FEW)
    ElementTree.fromstring(svg)
    assert len(svg) < 40_000
    said = answered["picture"]
    width = 1200
    bar = re.search(r'<line class="h" x1="([\d.]+)" y1="[\d.]+" x2="([\d.]+)"', svg)
    per_metre = (float(bar[2]) - float(bar[1])) / 0.5 * width / 480.0
    # The front comes last: below the heading of its panel.
    front = float(re.search(r'y="([\d.]+)"[^>]*>from the front', svg)[1]) * width / 480.0
    seen = pixels(only(svg, a="fill:#f00;stroke:none", b="fill:#00f;stroke:none"), width)[int(front) :]
    for colour, area in ((RED, said["level_area_m2"]), (BLUE, said["low_area_m2"])):
        assert is_of(colour, seen).sum() / per_metre**2 == pytest.approx(area, rel=0.01)


@rendered
@pytest.mark.parametrize("drop", ["1deg", "4deg", "9deg"])
def test_the_angle_in_the_rendering(drop):
    numpy = pytest.importorskip("numpy")
    svg, answered = shown(".svg", *RACE, "--hip-drop", drop, *BODY, *FEW)
    said = answered["picture"]
    assert said["hip_drop_deg"] == pytest.approx(float(drop[:-3]))
    seen = is_of(RED, pixels(only(svg, t="stroke:#f00;stroke-width:1.5;fill:none"), 1600))
    # Two lines: of the level body above, of the low one below; a wide gap between.
    rows = numpy.flatnonzero(seen.any(axis=1))
    gap = int(numpy.argmax(numpy.diff(rows)))
    angles = []
    for part in (rows[: gap + 1], rows[gap + 1 :]):
        y, x = numpy.nonzero(seen[part[0] : part[-1] + 1])
        angles.append(-math.degrees(math.atan(numpy.polyfit(x, y, 1)[0])))
    assert angles[0] == pytest.approx(said["trunk_deg"], abs=0.1)
    assert angles[1] - angles[0] == pytest.approx(said["hip_drop_deg"], abs=0.1)


chromium = shutil.which("chromium")


@pytest.mark.skipif(chromium is None, reason="chromium is not installed")
@pytest.mark.parametrize("case", ["twelve", "medley", "worn", "rarely", "record"])
def test_prints_on_one_page(case, tmp_path, record):
    """On a sheet as narrow as A4 and as short as Letter."""
    longest = [*RACE, *BODY, "--record", record, "--all-events", "--age", "13"]
    page, _ = shown(".html", *(longest if case == "record" else CASES[case]), *FEW)
    (tmp_path / "sheet.html").write_text(
        page.replace("@page{", "@page{size:210mm 279.4mm;"), encoding="utf-8"
    )
    printed = tmp_path / "sheet.pdf"
    subprocess.run(
        [chromium, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
         f"--user-data-dir={tmp_path / 'profile'}", f"--print-to-pdf={printed}", (tmp_path / "sheet.html").as_uri()],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert len(re.findall(rb"/Type\s*/Page[^s]", printed.read_bytes())) == 1


def luminance(colour):
    """Relative luminance, WCAG 2.1."""
    channels = [
        int(c * 2 if len(colour) == 4 else c, 16) / 255
        for c in re.findall("." * (len(colour) // 3), colour[1:])
    ]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_print_stands_out():
    """At least 4.5 to 1 (WCAG 2.1, 1.4.3), by day, in the dark and on paper; in pictures on sheet and water."""
    page, _ = shown(".html", *CASES["crawl"], *FEW)
    contrast = lambda a, b: (max(a, b) + 0.05) / (min(a, b) + 0.05)
    pairs = re.findall(r"--ink:(#\w+);--sheet:(#\w+);--quiet:(#\w+)", page)
    assert len(pairs) == 3
    for ink, sheet, quiet in pairs:
        for colour in (ink, quiet):
            assert contrast(luminance(colour), luminance(sheet)) >= 4.5
    style = re.search(r"<svg.*?<style>(.*?)</style>", page, re.S)[1]
    light, dark = style.split("@media", 1)
    for part in (light, dark):
        colour = lambda mark: re.search(r"\.%s\{fill:(#\w+)" % mark, part)[1]
        for ground in ("s", "w"):
            assert contrast(luminance(colour("i")), luminance(colour(ground))) >= 4.5


def test_a_squad_gets_a_page_each_and_an_index(tmp_path):
    squad = tmp_path / "squad.csv"
    squad.write_text(
        "name,sex,height (cm),mass (kg),event,time,hip drop (deg)\n"
        "Anna <b>,f,172,63,100 free,1:02.40,4\nBen,m,185,80,100 fly,58.3,60\nMia,f,168,58,200 free,2:15.10,3.5\n"
    )
    folder = tmp_path / "cards"
    done = run("--squad", str(squad), "--out", str(folder))
    assert done.returncode == 2 and "row 3" in done.stderr and "60 deg" in done.stderr
    assert sorted(p.name for p in folder.iterdir()) == ["2-anna-b.html", "4-mia.html", "index.html"]
    index = (folder / "index.html").read_text()
    assert 'href="2-anna-b.html"' in index and "Anna &lt;b&gt;" in index and "Ben" not in index
    # The same page as of the swimmer alone, and nothing is replaced unasked.
    page = (folder / "4-mia.html").read_text()
    assert "Mia" in page and "2:15.10" in page
    again = run("--squad", str(squad), "--out", str(folder))
    assert again.returncode == 2 and "exists" in again.stderr
    assert (folder / "4-mia.html").read_text() == page
    assert run("--squad", str(squad)).returncode == 2
    forced = run("--squad", str(squad), "--out", str(folder), "--force")
    assert "exists" not in forced.stderr and "row 3" in forced.stderr


def test_a_column_that_no_card_reads_leaves_no_card(tmp_path):
    """Refused row by row, each before its page is written."""
    squad = tmp_path / "squad.csv"
    head = "name,sex,height (cm),mass (kg),event,time,hip drop (deg),steady drop (deg)\n"
    squad.write_text(head + "Anna,f,172,63,100 free,1:02.40,4,2\nMia,f,168,58,200 free,2:15.10,3.5,\n")
    folder = tmp_path / "cards"
    done = run("--squad", str(squad), "--out", str(folder))
    assert done.returncode == 2 and "row 2" in done.stderr and "a column that card reads" in done.stderr
    assert sorted(p.name for p in folder.iterdir()) == ["3-mia.html", "index.html"]
