"""The package as it is installed: the wheel that pip builds without a network, `cmake --install` of the build
tree, and what CMake says to an interpreter that cannot serve."""

import os
import platform
import re
import shlex
import shutil
import subprocess
import sys
import sysconfig
import venv
import zipfile
from email import message_from_bytes
from pathlib import Path

import numpy
import pytest

ROOT = Path(__file__).resolve().parents[2]
BUILD = Path(os.environ["LIBDRAG_BUILD_DIR"])
PACKAGE = ROOT / "bindings" / "python" / "libdrag"
VERSION = re.search(r"project\(libdrag VERSION (\S+)", (ROOT / "CMakeLists.txt").read_text())[1]
MODULE = "_core" + sysconfig.get_config_var("EXT_SUFFIX")

PRICE = """
import libdrag
body = libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)
cost = libdrag.cost(body, event="100 free", course="lcm", time_s=62.40, hip_drop_deg=4, breathe="every-2")
print(libdrag.__version__, float(cost.median).hex(), libdrag.__file__)
"""


def package_files():
    """What an installed package holds: the Python files, the stub, the marker of types, the compiled core."""
    return {MODULE, "py.typed", "_core.pyi"} | {file.name for file in PACKAGE.glob("*.py")}


def run(command, *, environment=None, **options):
    """The standard output of a command that succeeds. Nothing of the test's own Python path leaks into it."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    clean |= environment or {}
    done = subprocess.run(list(map(str, command)), env=clean, text=True, capture_output=True, **options)
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def price(python, empty, **environment):
    """Version, median cost to the last bit, file: of the libdrag that `python` imports in an empty folder."""
    empty.mkdir(exist_ok=True)
    answer = run([python, "-B", "-c", PRICE], cwd=empty, environment=environment)
    version, median, file = answer.split(maxsplit=2)
    return version, median, Path(file.rstrip("\n"))


def project_files():
    """What git would commit, or every file of an unpacked archive."""
    listing = subprocess.run(
        ["git", "-C", ROOT, "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        text=True,
        capture_output=True,
    )
    if listing.returncode == 0:
        names = map(Path, filter(None, listing.stdout.split("\0")))
    else:
        names = (path.relative_to(ROOT) for path in ROOT.rglob("*"))
        names = (name for name in names if name.parts[0] != "build" and "__pycache__" not in name.parts)
    return [name for name in names if (ROOT / name).is_file()]


@pytest.fixture(scope="module")
def workshop():
    """An empty folder that always has the same name, so that a compiler cache knows the files again."""
    folder = BUILD / "tests" / "python" / "wheel"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return folder


@pytest.fixture(scope="module")
def checkout(workshop):
    """A clean copy of the project."""
    copy = workshop / "checkout"
    for name in project_files():
        (copy / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, copy / name, follow_symlinks=False)
    return copy


@pytest.fixture(scope="module")
def environment_python(tmp_path_factory):
    """The interpreter of a fresh virtual environment that sees NumPy and nothing else."""
    folder = tmp_path_factory.mktemp("environment")
    venv.create(folder, with_pip=False, symlinks=True)
    (packages,) = folder.glob("lib/python3*/site-packages")
    for part in Path(numpy.__file__).parents[1].glob("numpy*"):
        (packages / part.name).symlink_to(part)
    return folder / "bin" / "python"


@pytest.fixture(scope="module")
def wheel(workshop, checkout):
    """The wheel, built once for all tests: without a network where the kernel lets us take it away. It is compiled as
    the build tree is, and at a place that its sources are seen from in the same way, so that a compiler cache knows
    all of it."""
    place = checkout / "build"
    place.mkdir()
    cache = (BUILD / "CMakeCache.txt").read_text()
    same = ("CMAKE_UNITY_BUILD", "CMAKE_CXX_COMPILER", "CMAKE_CXX_FLAGS", "CMAKE_CXX_FLAGS_RELEASE")
    values = [(name, re.search(rf"^{name}:\w+=(.*)$", cache, re.MULTILINE)) for name in same]
    before = sorted(checkout.rglob("*"))
    offline = ["unshare", "-n"]
    if subprocess.run([*offline, "true"], capture_output=True).returncode != 0:
        offline = []
    run(
        [*offline, sys.executable, "-m", "pip", "wheel", "--no-build-isolation", "--no-deps"]
        + ["--no-index", "--wheel-dir", workshop / "dist", "./bindings"],
        cwd=checkout,
        environment={
            "CMAKE_ARGS": shlex.join(f"-D{name}={value[1]}" for name, value in values if value),
            "TMPDIR": str(place),
        },
    )
    assert sorted(checkout.rglob("*")) == before, "building the wheel left files in the checkout"
    (built,) = (workshop / "dist").iterdir()
    return built


@pytest.fixture(scope="module")
def installed_python(wheel, environment_python):
    run([sys.executable, "-m", "pip", "--python", environment_python, "install", "--no-index", wheel])
    return environment_python


def test_the_wheel_holds_the_package_and_nothing_else(wheel):
    information = f"libdrag-{VERSION}.dist-info/"
    want = {f"libdrag/{name}" for name in package_files()}
    want |= {information + name for name in ("LICENSE", "METADATA", "RECORD", "WHEEL", "top_level.txt")}
    with zipfile.ZipFile(wheel) as archive:
        assert set(archive.namelist()) == want
        for file in PACKAGE.iterdir():
            if file.is_file():
                assert archive.read(f"libdrag/{file.name}") == file.read_bytes(), file.name
        assert archive.read(information + "LICENSE") == (ROOT / "LICENSE").read_bytes()
        metadata = message_from_bytes(archive.read(information + "METADATA"))
    assert metadata["Name"] == "libdrag"
    assert metadata["Version"] == VERSION
    assert metadata["License"] == "MIT"
    assert metadata["Requires-Python"] == ">=3.9"
    needs = [need.replace(" ", "").replace("'", '"') for need in metadata.get_all("Requires-Dist")]
    assert sorted(needs) == [
        'matplotlib;extra=="plot"',
        "numpy",
        'pandas;extra=="tables"',
        'pint;extra=="units"',
        'xarray;extra=="tables"',
    ]


def test_the_wheel_is_for_this_interpreter_and_this_or_a_newer_c_library(wheel):
    tag = f"cp{sys.version_info.major}{sys.version_info.minor}"
    library = platform.libc_ver()[1].replace(".", "_")
    assert wheel.name == f"libdrag-{VERSION}-{tag}-{tag}-manylinux_{library}_{platform.machine()}.whl"


def test_the_compiled_core_finds_nothing_but_the_c_library(wheel, tmp_path):
    with zipfile.ZipFile(wheel) as archive:
        core = archive.extract(f"libdrag/{MODULE}", tmp_path)
    header = run(["readelf", "--dynamic", "--wide", core])
    assert "RUNPATH" not in header and "RPATH" not in header
    needed = set(re.findall(r"\(NEEDED\).*\[(.*)\]", header))
    assert "libc.so.6" in needed
    assert all(re.fullmatch(r"lib(c|m)\.so\.6|ld-linux.*", name) for name in needed), needed
    symbols = run(["readelf", "--dyn-syms", "--wide", core]).splitlines()
    versions = {name for line in symbols for name in re.findall(r"@@?([A-Z]+)_", line)}
    assert versions == {"GLIBC"}
    numbers = {name for line in symbols for name in re.findall(r"@@?GLIBC_([0-9.]+)", line)}
    assert max(tuple(map(int, number.split("."))) for number in numbers) <= tuple(
        map(int, platform.libc_ver()[1].split("."))
    )
    defined = [
        line.split()[-1] for line in symbols if re.search(r" (GLOBAL|WEAK|UNIQUE) +DEFAULT +\d+ ", line)
    ]
    assert defined == ["PyInit__core"]


def test_an_installed_package_gives_the_numbers_of_the_build_tree(installed_python, tmp_path):
    version, median, file = price(installed_python, tmp_path / "empty")
    assert version == VERSION
    assert installed_python.parents[1] in file.parents
    in_build_tree = price(sys.executable, tmp_path / "empty", PYTHONPATH=str(BUILD / "bindings" / "python"))
    assert in_build_tree[2] == BUILD / "bindings" / "python" / "libdrag" / "__init__.py"
    assert (version, median) == in_build_tree[:2]


def test_cmake_installs_a_package_that_imports(tmp_path):
    prefix = tmp_path / "prefix"
    run(["cmake", "--install", BUILD, "--component", "python", "--prefix", prefix])
    (init,) = prefix.rglob("__init__.py")
    assert {file.name for file in init.parent.iterdir()} == package_files()
    assert [file for file in prefix.rglob("*") if file.is_file() and file.parent != init.parent] == []
    # Debian's Python reads .../dist-packages, a virtual environment and other systems .../site-packages, in
    # the folder of its own version.
    folder = init.parents[1].relative_to(prefix)
    assert re.fullmatch(rf"lib(64)?/python3\.{sys.version_info.minor}/(dist|site)-packages", str(folder))
    version, _, file = price(sys.executable, tmp_path / "empty", PYTHONPATH=str(prefix / folder))
    assert (version, file) == (VERSION, init)


def test_the_build_tree_holds_the_sources_as_they_are():
    built = BUILD / "bindings" / "python" / "libdrag"
    assert {file.name for file in built.iterdir() if file.is_file()} == package_files()
    for name in package_files() - {MODULE}:
        assert (built / name).read_bytes() == (PACKAGE / name).read_bytes(), name


def configure(python, folder):
    clean = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return subprocess.run(
        ["cmake", "--preset", "python", "-S", ROOT, "-B", folder, f"-DPython_EXECUTABLE={python}"],
        env=clean,
        text=True,
        capture_output=True,
    )


def test_a_wrong_interpreter_fails_with_one_clear_line(tmp_path):
    without_numpy = tmp_path / "bare" / "bin" / "python"
    venv.create(tmp_path / "bare", with_pip=False, symlinks=True)
    here = ".".join(map(str, sys.version_info[:3]))
    packages = "with Debian's python3-dev and python3-numpy installed"
    way_out = f"; {packages}, pass -DPython_EXECUTABLE=/usr/bin/python3"
    for python, complaint in (
        (without_numpy, f"{without_numpy} (Python {here}) lacks NumPy"),
        (tmp_path / "nothing", f"no Python 3.9 or newer at {tmp_path / 'nothing'}"),
    ):
        failed = configure(python, tmp_path / "build")
        assert failed.returncode != 0
        lines = [line.strip() for line in failed.stderr.splitlines() if "Python" in line]
        assert lines == [f"Python bindings: {complaint}{way_out}"], failed.stderr
    # The advice works in the same build folder.
    assert configure(sys.executable, tmp_path / "build").returncode == 0
