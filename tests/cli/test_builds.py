"""The same bytes by another compiler and on another processor: against dragcalc of other presets, where those are built."""

import functools
import os
import shutil
import subprocess
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from test_bits import COMMANDS, LIFT
from typed import DRAG, DRAGCALC, MAIN, WHO, run

ROOT = Path(__file__).resolve().parents[2]


@functools.cache
def asked(preset):
    """What the build of a preset answers to each of its commands; all are asked at once, a processor one."""
    here = Path(DRAGCALC).resolve()
    other = here.parents[2] / preset / "cli" / "dragcalc"
    written = max(
        file.stat().st_mtime for part in ("libdrag", "cli") for file in (ROOT / part).rglob("*.[ch]*")
    )
    if not other.exists() or other.stat().st_mtime < written:
        pytest.skip(
            f"no {other}, or older than a source: cmake --preset {preset} && cmake --build --preset {preset}"
        )
    runner, commands = PRESETS[preset]
    if runner and not shutil.which(runner[0]):
        pytest.skip(f"no {runner[0]} to run what is built for another processor")

    def answer(command):
        return subprocess.run([*runner, other, *command, "--json"], capture_output=True, timeout=1200)

    with ThreadPoolExecutor(os.cpu_count()) as pool:
        return dict(zip(map(tuple, commands), pool.map(answer, commands)))


def compare(preset, command):
    done = asked(preset)[tuple(command)]
    assert done.returncode == 0, done.stderr
    assert done.stdout == run(*command, "--json").stdout


@pytest.mark.parametrize("command", COMMANDS, ids=" ".join)
def test_another_compiler_does_not_change_a_digit(command):
    compare("clang", command)


# An emulator takes seconds for each: those that differ in what they compute.
FEW = [
    MAIN,
    LIFT,
    DRAG,
    ["stroke", "--speed", "1.5mps", *WHO, "--draws", "200"],
    ["balance", *WHO, "--belt", "2kg"],
    ["aids", "--speed", "1.4mps", *WHO, "--snorkel"],
    ["body", *WHO],
    ["evidence"],
]

PRESETS = {"clang": ([], COMMANDS), "aarch64": (["qemu-aarch64"], FEW)}


@pytest.mark.parametrize("command", FEW, ids=" ".join)
def test_another_processor_does_not_change_a_digit(command):
    compare("aarch64", command)
