"""Which one-line mistakes in the physics do the tests notice?

    python3 tests/mutation/run.py            every mutant of mutants.py that has no result yet
    python3 tests/mutation/run.py waves tilt those whose name contains one of the words
    python3 tests/mutation/run.py --check    only whether each edit still applies, exactly once
    python3 tests/mutation/run.py --python   Python and notebooks too, for what survives the rest
    python3 tests/mutation/run.py --again    forget earlier results of the mutants asked for

Works on a copy of the sources below build/mutation, one edit at a time: builds the C++ tests and dragcalc,
runs the tests of the edited file, the other C++ tests, the slow ones, then those of the command line, and
stops at the first that fails. Tests that fail without any edit judge nothing and are named. What it found
stays in build/mutation/results.csv, so that a run that was stopped goes on where it was. Exit status 1: an
edit does not apply, or more than one in ten mutants survived.
"""

import argparse
import collections
import csv
import os
import pathlib
import re
import subprocess
import sys

from mutants import MUTANTS

ROOT = pathlib.Path(__file__).resolve().parents[2]
WORK = ROOT / "build" / "mutation"
COPY, BUILD, RESULTS = WORK / "source", WORK / "build", WORK / "results.csv"
PYTHON = "/usr/bin/python3"  # Debian's, which has the packaged pytest
HANG = 1800  # seconds; only an endless loop takes so long

# Tests that see a source first; without an entry the test of the same name.
FIRST = {
    "tilt_draw": ["tilt", "cost"],
    "drag_draw": ["swim"],
    "breath_draw": ["aids", "cycle"],
    "draws": ["uncertainty"],
    "unknowns": ["unknowns", "swim", "cost", "cycle", "aids"],
    "posture": ["posture", "area"],
    "cost": ["cost", "change"],
    "sources": ["sources", "water", "resistance"],
    "scatter": ["film", "loaded"],
    "request_read": ["request"],
    "card_page": ["card"],
}
SLOW = ["coefficients", "evidence"]  # last among the C++ tests


def occurrences():
    """{name: how often its old text stands in its file} of the edits that do not apply."""
    texts = {file: (ROOT / file).read_text() for file in {m.file for m in MUTANTS}}
    counts = {m.name: texts[m.file].count(m.old) for m in MUTANTS}
    return {name: n for name, n in counts.items() if n != 1}


def quietly(command, **options):
    """(exit status, what was said) of a command; status None where it hung."""
    try:
        done = subprocess.run(
            command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, timeout=HANG, **options
        )
    except subprocess.TimeoutExpired as expired:
        return None, str(expired.stdout)
    return done.returncode, done.stdout


def must(command, **options):
    status, said = quietly(command, **options)
    if status != 0:
        sys.exit(f"{said}\nfailed: {' '.join(map(str, command))}")


def write_if_changed(path, text):
    if not path.exists() or path.read_text() != text:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


def copy_sources():
    """What git knows; a file is written only where it differs, so that little is built again."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT, check=True, capture_output=True, text=True,
    ).stdout.split("\n")  # fmt: skip
    for name in filter(None, listed):
        source = ROOT / name
        if source.is_file() and source.suffix not in {".png", ".pdf"}:
            write_if_changed(COPY / name, source.read_text())


def targets(python):
    return ["all"] if python else ["libdrag_tests", "dragcalc"]


def configure(python):
    must([
        "cmake", "-S", COPY, "-B", BUILD, "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Debug",
        "-DCMAKE_CXX_FLAGS_DEBUG=-O1", f"-DLIBDRAG_BUILD_PYTHON={'ON' if python else 'OFF'}",
        f"-DPython_EXECUTABLE={PYTHON}", "-DLIBDRAG_TEST_PACKAGE=OFF",
    ])  # fmt: skip


def build(python):
    return quietly(["cmake", "--build", BUILD, "-j", str(os.cpu_count()), "--target", *targets(python)])


def first_failure(said):
    for pattern in (r"TEST CASE:  (.*)", r"^FAILED (?:\S*/)?(\S+::\S+)", r"^\s*\d+ - (\S+) \(Failed\)"):
        found = re.search(pattern, said, re.MULTILINE)
        if found:
            return found[1].strip()
    return "crash"


def cpp(files, excluded, without, *options):
    """The tests of some files, or of all but the excluded, without some test cases."""
    command = [BUILD / "tests" / "libdrag_tests", "--minimal=1", *options]
    command += [f"--source-file={','.join(f'*/{f}_test.cpp' for f in files)}"] if files else []
    command += [f"--source-file-exclude={','.join(f'*/{f}_test.cpp' for f in excluded)}"] if excluded else []
    # A comma would end a name, and stands for itself as any one character.
    command += (
        [f"--test-case-exclude={','.join(name.replace(',', '?') for name in without)}"] if without else []
    )
    return quietly(command)


def command_line(without, *options):
    names = [f"--deselect={name}" for name in without]
    return quietly(
        [PYTHON, "-m", "pytest", "-q", "-p", "no:cacheprovider", "tests/cli", "--tb=no", "-rf", *options, *names],
        cwd=COPY, env={**os.environ, "DRAGCALC": BUILD / "cli" / "dragcalc", "PYTHONDONTWRITEBYTECODE": "1"},
    )  # fmt: skip


def failing_unmutated():
    """Tests that fail as the sources stand: ([C++ test cases], [command line tests])."""
    said = cpp([], [], [])[1]
    cases = dict.fromkeys(name.strip() for name in re.findall(r"^TEST CASE:  (.*)", said, re.MULTILINE))
    lines = re.findall(r"^FAILED (\S+)", command_line([])[1], re.MULTILINE)
    return list(cases), lines


def ctest(label, *options):
    return quietly(["ctest", "--test-dir", BUILD, "-L", label, "--stop-on-failure", "-j2",
                    "--output-on-failure", *options])  # fmt: skip


def judge(mutant, python, failing):
    """(who noticed, which test) for the copy as it stands."""
    stem = pathlib.Path(mutant.file).stem
    own = FIRST.get(stem, [stem])
    slow = [f for f in SLOW if f not in own]
    cases, lines = failing
    stop = "--abort-after=1"
    stages = [
        ("C++", lambda: cpp(own, [], cases, stop)),
        ("C++", lambda: cpp([], own + slow, cases, stop)),
        ("C++", lambda: cpp(slow, [], cases, stop)),
        ("command line", lambda: command_line(lines, "-x")),
    ]
    if python:
        stages += [
            ("Python", lambda: ctest("python", "-E", "notebooks|install|cluster")),
            ("notebooks", lambda: ctest("python", "-R", "notebooks")),
        ]
    for who, run in stages:
        status, said = run()
        if status is None:
            return who, "hang"
        if status != 0:
            return who, first_failure(said)
    return "none", ""


def load():
    if not RESULTS.exists():
        return {}
    with RESULTS.open(newline="") as file:
        return {row["name"]: row for row in csv.DictReader(file)}


def save(results):
    with RESULTS.open("w", newline="") as file:
        writer = csv.DictWriter(file, ["name", "file", "old", "new", "noticed_by", "test"])
        writer.writeheader()
        writer.writerows(results.values())


def same(row, mutant):
    return (row["file"], row["old"], row["new"]) == (mutant.file, mutant.old, mutant.new)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("words", nargs="*")
    parser.add_argument("--check", action="store_true")
    parser.add_argument("--python", action="store_true")
    parser.add_argument("--again", action="store_true")
    options = parser.parse_args()

    stale = occurrences()
    for name, count in stale.items():
        print(f"{name}: {'no longer applies' if count == 0 else f'applies in {count} places'}")
    doubled = [n for n, k in collections.Counter(m.name for m in MUTANTS).items() if k > 1]
    if doubled:
        sys.exit(f"two mutants of one name: {', '.join(doubled)}")
    if options.check:
        print(f"{len(MUTANTS) - len(stale)} of {len(MUTANTS)} edits apply")
        sys.exit(1 if stale else 0)

    asked = [m for m in MUTANTS if m.name not in stale]
    if options.words:
        asked = [m for m in asked if any(word in m.name for word in options.words)]
    results = {name: row for name, row in load().items()}
    known = {m.name: m for m in MUTANTS}
    results = {n: r for n, r in results.items() if n in known and same(r, known[n])}
    if options.again:
        results = {n: r for n, r in results.items() if n not in {m.name for m in asked}}

    copy_sources()
    configure(options.python)
    must(["cmake", "--build", BUILD, "-j", str(os.cpu_count()), "--target", *targets(options.python)])
    failing = failing_unmutated()
    for name in failing[0] + failing[1]:
        print(f"fails unmutated, judges nothing: {name}")
    for mutant in asked:
        before = results.get(mutant.name)
        if before and not (options.python and before["noticed_by"] == "none"):
            continue
        path = COPY / mutant.file
        text = path.read_text()
        path.write_text(text.replace(mutant.old, mutant.new))
        try:
            status, said = build(options.python)
            who, test = ("compiler", "") if status != 0 else judge(mutant, options.python, failing)
        finally:
            path.write_text(text)
        results[mutant.name] = {
            "name": mutant.name, "file": mutant.file, "old": mutant.old, "new": mutant.new,
            "noticed_by": who, "test": test,
        }  # fmt: skip
        save(results)
        print(f"{mutant.name}: {who}{f' ({test})' if test else ''}", flush=True)

    judged = [results[m.name] for m in MUTANTS if m.name in results]
    counts = collections.Counter(row["noticed_by"] for row in judged)
    print(
        f"\n{len(judged)} of {len(MUTANTS)} mutants: " + ", ".join(f"{n} {who}" for who, n in counts.items())
    )
    for row in judged:
        if row["noticed_by"] in ("none", "notebooks", "Python"):
            print(f"  {row['noticed_by']}: {row['name']}: {row['old']} -> {row['new']}")
    sys.exit(1 if stale or counts["none"] > 0.1 * len(judged) else 0)


if __name__ == "__main__":
    main()
