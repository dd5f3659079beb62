"""Has the project's own CMake build the package and install it into the wheel."""

import os
import platform
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
# The C library is all that the compiled core finds on another machine, where this one's version or a newer is needed.
ALONE = "-static-libstdc++ -static-libgcc"
LIBRARY, LIBRARY_VERSION = platform.libc_ver()
TAG = (
    {"plat_name": f"manylinux_{LIBRARY_VERSION.replace('.', '_')}_{platform.machine()}"}
    if LIBRARY == "glibc"
    else {}
)


class CMakeExtension(build_ext):
    """Configure with the preset `python`, build, install the component `python`."""

    def run(self) -> None:
        if self.editable_mode:
            sys.exit("libdrag has no editable install: set PYTHONPATH=<build>/bindings/python instead")
        wheel = Path(self.build_lib).resolve()
        with tempfile.TemporaryDirectory(prefix="libdrag-") as build:
            options = [f"-DPython_EXECUTABLE={sys.executable}", "-DLIBDRAG_PYTHON_DIR=."]
            options += ["-DLIBDRAG_FMT_WITHIN=ON", f"-DCMAKE_MODULE_LINKER_FLAGS={ALONE}"]
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
    options={
        "build": {"build_base": scratch.name},
        "egg_info": {"egg_base": scratch.name},
        "bdist_wheel": TAG,
    },
)
