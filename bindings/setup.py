"""Has the project's own CMake build the package and install it into the wheel."""

import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

from setuptools import Extension, setup
from setuptools.command.build_ext import build_ext

ROOT = Path(__file__).resolve().parent.parent
VERSION = re.search(r"project\(libdrag VERSION ([\d.]+)", (ROOT / "CMakeLists.txt").read_text())[1]


class CMakeExtension(build_ext):
    """Configure with the preset `python`, build, install the component `python`."""

    def run(self) -> None:
        if self.editable_mode:
            sys.exit("libdrag has no editable install: set PYTHONPATH=<build>/bindings/python instead")
        wheel = Path(self.build_lib).resolve()
        with tempfile.TemporaryDirectory(prefix="libdrag-") as build:
            options = [f"-DPython_EXECUTABLE={sys.executable}", "-DLIBDRAG_PYTHON_DIR=."]
            options += shlex.split(os.environ.get("CMAKE_ARGS", ""))
            for step in (
                ["--preset", "python", "-S", ROOT, "-B", build, *options],
                ["--build", build, "--target", "libdrag_python"],
                ["--install", build, "--component", "python", "--strip", "--prefix", wheel],
            ):
                subprocess.run(["cmake", *step], check=True)


scratch = tempfile.TemporaryDirectory(prefix="libdrag-")  # nothing is written beside the sources
setup(
    version=VERSION,
    ext_modules=[Extension("libdrag._core", sources=[])],
    cmdclass={"build_ext": CMakeExtension},
    options={"build": {"build_base": scratch.name}, "egg_info": {"egg_base": scratch.name}},
)
