"""What the README shows and states is what the tool says."""

import json
import pathlib
import re
import shlex

import pytest

from typed import answer as dragcalc, evidence

README = (pathlib.Path(__file__).parents[2] / "README.md").read_text()


def blocks():
    """Indented blocks, without their indent."""
    return [
        re.sub(r"^    ", "", block, flags=re.M).strip("\n")
        for block in re.findall(r"(?:^    .*\n|^\n(?=    ))+", README, flags=re.M)
    ]


def commands():
    joined = re.sub(r"\\\n *", " ", "\n".join(blocks()))
    for line in joined.splitlines():
        line = line.removeprefix("$ ")
        if line.startswith("dragcalc "):
            yield re.sub(r"\s+# .*$", "", line)


# Made up: two days of swims and drops of one swimmer, and the points of two frames.
HOWS = ["snorkel", "every-2", "every-2", "snorkel"]
TIMES = [[14.32, 14.60, 14.55, 14.30], [14.40, 14.61, 14.70, 14.38]]
FILES = {
    "squad.csv": "date,swimmer,kind,stroke,how,set,order,distance (m),time (s),drop (deg),side,note\n"
    + "".join(
        f"2026-10-{3 + 14 * day:02},Anna,swim,crawl,{how},1,{order},25,{time},,,\n"
        for day, times in enumerate(TIMES)
        for order, (how, time) in enumerate(zip(HOWS, times), 1)
    )
    + "2026-10-03,Anna,drop,crawl,every-2,,,,,4.2,both,\n2026-10-17,Anna,drop,crawl,every-2,,,,,3.9,both,\n",
    "swimmers.csv": "name,sex,height (cm),mass (kg),event,time,hip drop (deg)\nAnna,f,172,63,100 free,1:02.40,4\n"
    "Ben,m,185,80,100 fly,58.30,5\n",
    "swims.csv": "how,time (s)\n" + "".join(f"{how},{time}\n" for how, time in zip(HOWS, TIMES[0])),
    "points.csv": "breath,shoulder x (px),shoulder y (px),hip x (px),hip y (px)\n"
    "1,412,310,294,339\n0,700,305,582,326\n",
}

DEMO = next(line for line in commands() if "--course lcm" in line)


def test_the_answer_shown_is_the_answer_given():
    shown = next(block for block in blocks() if "Comes from" in block).split("\n\n", 1)[1]
    assert dragcalc(*shlex.split(DEMO)[1:]).strip("\n") == shown


@pytest.mark.parametrize("line", commands())
def test_every_command_shown_runs(line, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    dragcalc("body", "--sex", "f", "--height", "172cm", "--mass", "63kg", "--save", "demo.json")
    for name, text in FILES.items():
        pathlib.Path(name).write_text(text)
    words = shlex.split(line)[1:]
    if "--save" in words:
        words[words.index("--save") + 1] = "other.json"
    if (
        "..." in words
    ):  # stands for the demo's options, those that are given again or that would not go with it left out
        at = words.index("...")
        given = shlex.split(DEMO)[2:]
        if "--event" in words:
            given = given[given.index("--sex") :]
        for option in [word for word in words if word.startswith("--")]:
            if option in given:
                del given[given.index(option) : given.index(option) + 2]
        if "always" in words:
            del given[given.index("--breathe") : given.index("--breathe") + 2]
        words[at : at + 1] = given
    if words[0] == "design" or "--within-stroke" in words:
        words += ["--draws", "200"]  # seconds else
    assert evidence() if words == ["evidence"] else dragcalc(*words)


PICTURES = re.findall(r'<img src="([^"]+)"[^>]* alt="([^"]+)">', README)


@pytest.mark.parametrize("path", [path for path, _ in PICTURES])
def test_a_picture_shown_is_the_one_its_command_draws(path, tmp_path, monkeypatch):
    """Otherwise draw it anew: the command that names the file is in the README."""
    kept = (pathlib.Path(__file__).parents[2] / path).read_bytes()
    name = pathlib.PurePath(path).name
    (line,) = {
        line for line in [*commands(), *re.findall("`(dragcalc [^`]+)`", README)] if line.endswith(f" {name}")
    }
    monkeypatch.chdir(tmp_path)
    dragcalc(*shlex.split(line)[1:])
    assert pathlib.Path(name).read_bytes() == kept
    assert len(kept) < 60_000


def test_the_pictures_have_words():
    assert {pathlib.PurePath(path).name for path, _ in PICTURES} == {"card.svg", "evidence.svg"}
    assert all(len(words) > 30 for _, words in PICTURES)


def test_the_evidence_is_as_stated():
    told = re.sub(r"\s+", " ", README)
    tree = json.loads(evidence("--json"))
    hits = sum(row["inside"] for row in tree["rows"])
    assert f"puts {len(tree['rows'])} published measurements of {tree['studies']} studies beside" in told
    assert f"{hits} fall inside" in told
    assert f"half-width is {round(100 * tree['half_width_median'])} %" in told
    assert f"would be {round(100 * tree['half_width_known'])} %" in told
    names = "one two three four five six seven eight nine ten".split()
    assert f"The {names[len(tree['rows']) - hits - 1]} that miss" in told
