"""Command lines of junk: answered or refused in one line, never a crash."""

import json
import random

import pytest

from typed import SOURCE_CODE, one_line, run

OPTIONS = {
    "cost": [
        "--event",
        "--course",
        "--time",
        "--sex",
        "--height",
        "--mass",
        "--dim",
        "--incline",
        "--k",
        "--hip-drop",
        "--hip-drop-sd",
        "--breathe",
        "--when",
        "--given",
        "--splits",
        "--start-underwater",
        "--turn-underwater",
        "--tilt-model",
        "--what-if",
        "--want",
        "--time-without",
        "--set",
        "--draws",
        "--seed",
        "--level",
        "--threads",
        "--swimmer",
    ],
    "drag": [
        "--speed",
        "--sex",
        "--height",
        "--mass",
        "--dim",
        "--incline",
        "--k",
        "--depth",
        "--posture",
        "--head-lift",
        "--leg-angle",
        "--roll",
        "--stroke",
        "--method",
        "--tilt-model",
        "--water",
        "--temperature",
        "--set",
        "--draws",
        "--seed",
        "--level",
        "--threads",
        "--swimmer",
    ],
    "body": ["--sex", "--height", "--mass", "--dim", "--incline", "--k", "--swimmer"],
    "sources": [],
}
GOOD = {
    "cost": {
        "--event": "100 free",
        "--time": "1:02.40",
        "--sex": "f",
        "--height": "172cm",
        "--mass": "63kg",
        "--hip-drop": "4deg",
        "--draws": "500",
    },
    "drag": {"--speed": "1.5mps", "--height": "172cm", "--mass": "63kg", "--draws": "500"},
    "body": {"--height": "172cm", "--mass": "63kg"},
    "sources": {},
}
FLAGS = ["--json", "--csv", "--all-events", "--force"]
VALUES = [
    "",
    " ",
    "0",
    "-0",
    "1",
    "-1",
    "1e308",
    "1e-308",
    "nan",
    "inf",
    "-inf",
    "0x10",
    "1,5",
    "٣cm",
    "4deg",
    "45deg",
    "0.001deg",
    "6cm",
    "1mm",
    "1e5cm",
    "172cm",
    "5ft8in",
    "5'8\"",
    "63kg",
    "139lb",
    "0kg",
    "1:02.40",
    "0:00.00",
    "59:59.99",
    "99:99",
    "::",
    "27C",
    "80F",
    "-40C",
    "1.5mps",
    "28kg/m",
    "0.95",
    "95%",
    "never",
    "every-1",
    "every-2,every-3",
    "every-",
    "alternate",
    "always",
    "breath",
    "with",
    "without",
    "blend",
    "slope",
    "crossflow",
    "lcm",
    "scy",
    "50 free",
    "1650 free",
    "400 IM",
    "100 yd back",
    "25 fly",
    "fly=every-1",
    "free=every-2,fly=never",
    "chest_girth=90cm",
    "head_depth=1cm",
    "=",
    "a=b=c",
    "tilt.slope=2",
    "tilt.slope=2+-9",
    "race.drag_exponent=-3",
    "breath.pulse_width.crawl=2",
    "race.fade=9+-9",
    "15.1,17.9,20.4,9.0",
    "f",
    "m",
    "average",
    "crawl",
    "fly",
    "planimetric",
    "mid-stroke",
    "sea",
    "[1,2]",
    "{}",
    "[]",
    "--json",
    "--",
    "-h",
    "$HOME",
    "../../etc",
    "/dev/null",
    "%s%n%d",
    "é✓",
    "\u202eabc",
    "a\tb",
    "\n",
    "\x1b[31m",
    "\x7f",
    "x" * 3000,
    "9" * 400,
    "100000000000000000000",
    b"\xff\xfe",
    b"\xc3",
]


def command_line(seed):
    random_of = random.Random(seed)
    command = random_of.choice(["cost"] * 5 + ["drag"] * 3 + ["body"] * 2 + ["sources"])
    args = [command]
    options = dict(GOOD[command])
    for _ in range(random_of.randint(1, 4)):
        if OPTIONS[command]:
            options[random_of.choice(OPTIONS[command])] = random_of.choice(VALUES)
    for option, value in options.items():
        if isinstance(value, str) and random_of.random() < 0.3:
            args.append(f"{option}={value}")
        else:
            args += [option, value]
    if random_of.random() < 0.3:
        args.append(random_of.choice(FLAGS))
    if random_of.random() < 0.1:
        args.append(random_of.choice(VALUES))
    if random_of.random() < 0.05:
        random_of.shuffle(args)
    return args


@pytest.mark.parametrize("seed", range(100))
def test_junk_is_answered_or_refused(seed, tmp_path):
    args = command_line(seed)
    done = run(*args, cwd=tmp_path)
    assert done.returncode in (0, 2), (args, done)
    if done.returncode == 2:
        one_line(done)
        return
    assert done.stderr == b"" and done.stdout
    text = done.stdout.decode()
    assert not SOURCE_CODE.search(text), args
    if "--json" in args and "-h" not in args and "--help" not in args:
        json.loads(text, parse_constant=lambda x: pytest.fail(f"{x} in {args}"))
    words = text.replace('"replaceable": null', "").split()
    assert not any(word in words for word in ("nan", "null", "inf", "-nan")), args


def test_the_junk_reaches_both_ends():
    codes = [run(*command_line(seed)).returncode for seed in range(40)]
    assert codes.count(0) >= 3 and codes.count(2) >= 10
