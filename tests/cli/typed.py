"""Runs dragcalc as typed at a prompt, and judges what comes back."""

import functools
import json
import os
import re
import subprocess

DRAGCALC = os.environ["DRAGCALC"]

WHO = ["--sex", "f", "--height", "172cm", "--mass", "63kg"]
RACE = ["--event", "100 free", "--time", "1:02.40"]
MAIN = ["cost", *RACE, *WHO, "--hip-drop", "4deg"]
DRAG = ["drag", "--speed", "1.5mps", *WHO]

# What no reader should meet: names and idioms of the source code.
SOURCE_CODE = re.compile(
    r"std::|libdrag::|nlohmann|json\.exception|CLI::|basic_string|bad_alloc|from_chars|\bTEXT\b|\bUINT\b|\bFLOAT\b"
    r"|terminate|exception|nullopt|\bvector\b|Sanitizer"
)


def run(*args, **kwargs):
    return subprocess.run(
        [DRAGCALC, *args], stdin=subprocess.DEVNULL, capture_output=True, timeout=1200, **kwargs
    )


def answer(*args):
    """Standard output of a call that must work."""
    done = run(*args)
    assert done.returncode == 0, done.stderr.decode(errors="replace")
    assert done.stderr == b""
    return done.stdout.decode()


@functools.cache
def evidence(*form):
    """The table in a form: most of a second, once for all that read it."""
    return answer("evidence", *form)


def strict(constant):
    raise AssertionError(f"{constant} is not JSON")


def whole_json(*args):
    return json.loads(answer(*args, "--json"), parse_constant=strict)


def as_json(*args):
    """The answer's own part: of a cost that asks nothing more about one event, that event."""
    tree = whole_json(*args)
    return tree["events"][0] if tree.get("question", 0) is None and len(tree["events"]) == 1 else tree


def one_line(done):
    """The complaint of a call that must be refused: exit code 2, nothing on stdout, one plain line on stderr."""
    text = done.stderr.decode()
    assert done.returncode == 2, (done.returncode, text)
    assert done.stdout == b""
    assert text.startswith("dragcalc: ") and text.endswith("\n") and text.count("\n") == 1, text
    line = text[len("dragcalc: ") : -1]
    assert line.isprintable(), line
    assert not SOURCE_CODE.search(line.replace("'dragcalc", "")), line
    assert len(line) < 450, line
    return line


def refused(*args):
    return one_line(run(*args))


def with_value(args, option, value):
    """The call with one option's value replaced, or added."""
    out = list(args)
    if option in out:
        out[out.index(option) + 1] = value
        return out
    return [*out, option, value]


def without(args, option):
    out = list(args)
    at = out.index(option)
    del out[at : at + 2]
    return out


def close(got, want, relative):
    return abs(got - want) <= relative * abs(want)


def numbers_of(tree):
    """Every number of a JSON tree, in order."""
    if isinstance(tree, bool) or tree is None or isinstance(tree, str):
        return []
    if isinstance(tree, (int, float)):
        return [tree]
    return [x for part in (tree.values() if isinstance(tree, dict) else tree) for x in numbers_of(part)]


def same_numbers(a, b, relative):
    x, y = numbers_of(a), numbers_of(b)
    return len(x) == len(y) and all(abs(p - q) <= relative * max(abs(p), abs(q), 1e-9) for p, q in zip(x, y))
