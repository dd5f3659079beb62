"""Everything that is shown, as validators read it: pages by HTML Tidy, pictures by libxml2; and contrast of all print."""

import re
import shutil
import subprocess
import xml.etree.ElementTree as ElementTree

import pytest

from test_card import CASES, FEW, luminance, shown
from test_plot import QUESTIONS, SQUAD, drawn, place, record  # noqa: F401 (fixtures)
from typed import RACE, WHO, run

SVG = "{http://www.w3.org/2000/svg}"


def complaints(page):
    """Of HTML Tidy, without those about the pictures in the page, which it does not know: libxml2 reads them."""
    assert shutil.which("tidy"), "not installed: sh .ci/install test"
    text = re.sub(r"<svg.*?</svg>", "<p>picture</p>", page, flags=re.S)
    done = subprocess.run(
        ["tidy", "-errors", "-quiet", "-utf8", "--doctype", "html5"],
        input=text,
        text=True,
        capture_output=True,
    )
    return done.stderr.splitlines()


def well_formed(path):
    """By libxml2, which asks no network."""
    assert shutil.which("xmllint"), "not installed: sh .ci/install test"
    done = subprocess.run(["xmllint", "--noout", "--nonet", str(path)], text=True, capture_output=True)
    assert done.returncode == 0 and not done.stderr, done.stderr


def by_name(root):
    """Names and classes of the style sheet that are used: marks in no class would be drawn black."""
    style = root.findtext(SVG + "style")
    for element in root.iter():
        for name in (element.get("class") or "").split():
            assert re.search(r"\.%s[{,]" % re.escape(name), style), name
    known = {"svg", "title", "desc", "style", "rect", "line", "circle", "path", "text", "g"}
    assert {element.tag.removeprefix(SVG) for element in root.iter()} <= known


def check_svg(path):
    well_formed(path)
    root = ElementTree.parse(path).getroot()
    by_name(root)
    assert root.get("role") == "img" and root.findtext(SVG + "title") and root.findtext(SVG + "desc")


@pytest.mark.parametrize("case", CASES)
def test_cards_are_valid(case, tmp_path):
    page, _ = shown(".html", *CASES[case], *FEW)
    assert complaints(page) == []
    card, _ = shown(".svg", *CASES[case], *FEW)
    for i, picture in enumerate([card, *re.findall(r"<svg.*?</svg>", page, re.S)]):
        (tmp_path / f"{i}.svg").write_text(picture, encoding="utf-8")
        check_svg(tmp_path / f"{i}.svg")


def test_an_index_and_a_session_are_valid(tmp_path):
    (tmp_path / "squad.csv").write_text(
        SQUAD.replace(",steady drop (deg)", "").replace(",2\n", "\n").replace(",1\n", "\n")
    )
    run("card", "--squad", "squad.csv", "--out", "cards", "--draws", "200", cwd=tmp_path)
    assert complaints((tmp_path / "cards" / "index.html").read_text(encoding="utf-8")) == []
    session = run("practice", *RACE, *WHO, "--minutes", "40", "--pool", "25m", "--snorkel", "--html")
    assert session.returncode == 0
    assert complaints(session.stdout.decode()) == []


@pytest.mark.parametrize("question", QUESTIONS)
def test_charts_are_valid(question, place):  # noqa: F811
    drawn(place, question)
    check_svg(place / "it.svg")


def test_a_validator_complains_of_what_is_wrong(tmp_path):
    good = "<!doctype html>\n<html lang='en'><head><meta charset='utf-8'><title>x</title></head><body><p>x</p></body></html>"
    assert complaints(good) == []
    for wrong in (
        good.replace("<p>x</p>", "<p>x"),
        good.replace("<p>", "<p><b>"),
        good.replace("<title>x</title>", ""),
    ):
        if wrong.count("<b>") or "<title>" not in wrong:
            assert complaints(wrong), wrong
    (tmp_path / "x.svg").write_text("<svg><g></svg>")
    with pytest.raises(AssertionError):
        well_formed(tmp_path / "x.svg")


# --- contrast -----------------------------------------------------------------------------------------


def rules(style):
    """{class: {property: value}} of a style sheet without conditions."""
    out = {}
    for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", style):
        for selector in selectors.split(","):
            if selector.strip().startswith("."):
                pairs = (pair.split(":", 1) for pair in body.split(";") if ":" in pair)
                out.setdefault(selector.strip()[1:], {}).update(pairs)
    return out


def looks(style):
    """By day, in the dark and on paper: each as the cascade has it."""
    plain = re.sub(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*\}", "", style)
    day = rules(plain)
    for condition in ("", "dark", "print"):
        seen = {name: dict(values) for name, values in day.items()}
        for head, inside in re.findall(r"@media([^{]*)\{((?:[^{}]*\{[^{}]*\})*)\}", style):
            if condition and condition in head:
                for name, values in rules(inside).items():
                    seen.setdefault(name, {}).update(values)
        yield condition, seen


@pytest.mark.parametrize("question", ["cost", "compare", "drag", "evidence", "trials", "progress"])
def test_all_print_of_a_chart_stands_out(question, place):  # noqa: F811
    """Print against the sheet and against whatever area it may lie on: at least 4.5 to 1 (WCAG 2.1, 1.4.3)."""
    drawn(place, question)
    root = ElementTree.parse(place / "it.svg").getroot()
    style = root.findtext(SVG + "style")
    kinds = {text.get("class") for text in root.iter(SVG + "text")}
    assert kinds
    for condition, seen in looks(style):
        for kind in kinds - {"k"}:  # print on a colour: `chart_test.cpp` knows which
            ink, sheet = luminance(seen[kind]["fill"]), luminance(seen["s"]["fill"])
            assert (max(ink, sheet) + 0.05) / (min(ink, sheet) + 0.05) >= 4.5, (condition, kind)
