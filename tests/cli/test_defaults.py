"""The file of defaults, the manual and what shells complete."""

import json
import os
import re
import subprocess

import pytest

from typed import DRAGCALC, MAIN, RACE, answer


def run_with(tmp_path, defaults, *args):
    file = tmp_path / "mine.json"
    file.write_text(defaults if isinstance(defaults, str) else json.dumps(defaults))
    environment = {**os.environ, "DRAGCALC_DEFAULTS": str(file)}
    return subprocess.run([DRAGCALC, *args], env=environment, capture_output=True, text=True, timeout=120)


def test_defaults_say_what_was_not_typed(tmp_path):
    defaults = {
        "course": "scm",
        "sex": "f",
        "output": "json",
        "units": {"height": "cm", "mass": "kg", "hip_drop": "deg"},
    }
    bare = ["cost", *RACE, "--height", "172", "--mass", "63", "--hip-drop", "4", "--draws", "500"]
    done = run_with(tmp_path, defaults, *bare)
    assert done.returncode == 0, done.stderr
    assert done.stdout == answer(*MAIN, "--course", "scm", "--draws", "500", "--json")
    # What is typed wins, and a command that takes no course is not told one.
    typed = run_with(tmp_path, defaults, *bare, "--course", "lcm", "--csv")
    assert typed.stdout == answer(*MAIN, "--course", "lcm", "--draws", "500", "--csv")
    assert run_with(tmp_path, defaults, "sources", "tilt.slope").returncode == 0
    # A unit that was typed stays.
    other = run_with(tmp_path, defaults, *["1.72m" if word == "172" else word for word in bare])
    assert other.stdout == done.stdout


def test_a_record_of_the_defaults_is_that_of_who_is_named(tmp_path):
    log = [
        "log",
        str(tmp_path / "squad.csv"),
        "--name",
        "Anna",
        "--kind",
        "drop",
        "--side",
        "both",
        "--date",
        "2026-10-01",
    ]
    answer(*log, "--drop", "3deg")
    defaults = {"record": "squad.csv"}
    of_her = run_with(tmp_path, defaults, *MAIN, "--name", "Anna", "--draws", "500")
    assert "By her record" in " ".join(of_her.stdout.split()), of_her.stderr
    assert "By her record" not in run_with(tmp_path, defaults, *MAIN, "--draws", "500").stdout
    assert (
        run_with(tmp_path, defaults, "log", "--name", "Anna", "--kind", "drop", "--drop", "4deg").returncode
        == 0
    )
    assert (tmp_path / "squad.csv").read_text().count("\n") == 3
    assert run_with(tmp_path, defaults, "progress", "--name", "Anna").returncode == 0


@pytest.mark.parametrize(
    "text, words",
    [
        ("", ["defaults", "JSON object"]),
        ("[1]", ["defaults", "JSON object"]),
        ('{"corse": "scm"}', ["defaults", "corse", "options by their names"]),
        ('{"output": "xml"}', ["output", "xml", "words, json or csv"]),
        ('{"units": 3}', ["units", "3"]),
        ('{"units": {"height": 3}}', ["height", "a unit"]),
        ('{"course": ["scm"]}', ["course", "a text or a number"]),
        ('{"course": "bath"}', ["course", "bath"]),
    ],
)
def test_bad_defaults_are_one_line(tmp_path, text, words):
    done = run_with(tmp_path, text, *MAIN)
    assert done.returncode == 2 and done.stdout == "" and done.stderr.count("\n") == 1
    assert all(word in done.stderr for word in words), done.stderr


def test_defaults_that_are_not_there(tmp_path):
    environment = {**os.environ, "DRAGCALC_DEFAULTS": str(tmp_path / "none.json")}
    done = subprocess.run([DRAGCALC, *MAIN], env=environment, capture_output=True, text=True)
    assert done.returncode == 2 and "an existing file" in done.stderr
    environment = {**os.environ, "HOME": str(tmp_path), "XDG_CONFIG_HOME": ""}
    assert (
        subprocess.run([DRAGCALC, *MAIN, "--draws", "500"], env=environment, capture_output=True).returncode
        == 0
    )


COMMANDS = re.findall(r"^  ([a-z]+)\s", answer("--help").split("--hip-drop 4deg", 1)[1], flags=re.M)
ASKED = [name for name in COMMANDS if name not in ("manual", "completion")]


def options_of(command):
    return set(re.findall(r"^  (--[a-z-]+)", answer(command, "--help-all"), flags=re.M))


def test_the_manual_has_every_command_and_option():
    page = answer("manual").replace("\\-", "-")
    assert len(ASKED) > 18
    for command in ASKED:
        section = page.split(f".SH DRAGCALC {command}\n")[1].split("\n.SH ")[0]
        assert options_of(command) <= set(re.findall(r"^\.B (--[a-z-]+)", section, flags=re.M)), command
    assert not re.search(r"^'", page, flags=re.M)


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_shells_complete_every_option(shell):
    script = answer("completion", shell)
    for command in ASKED:
        for option in options_of(command) - {"--help", "--help-all"}:
            assert (f"-l {option[2:]} " if shell == "fish" else option) in script, (command, option)


def test_bash_completes(tmp_path):
    file = tmp_path / "completion"
    file.write_text(answer("completion", "bash"))
    ask = f"source {file}; COMP_WORDS=(dragcalc cost --hip); COMP_CWORD=2; _dragcalc; echo ${{COMPREPLY[@]}}"
    assert subprocess.check_output(["bash", "-c", ask], text=True).split() == ["--hip-drop", "--hip-drop-sd"]


def test_a_shell_that_is_none_is_refused():
    done = subprocess.run([DRAGCALC, "completion", "tcsh"], capture_output=True, text=True)
    assert done.returncode == 2 and "bash, zsh or fish" in done.stderr
