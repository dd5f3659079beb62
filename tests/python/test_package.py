"""The package as such: types, stubs, documentation, examples, what it imports, and the README's lines."""

import ast
import doctest
import functools
import importlib
import inspect
import operator
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import libdrag
import libdrag._core as core

PACKAGE = Path(libdrag.__file__).parent
ROOT = Path(__file__).parents[2]
PUBLIC = [name for name in libdrag.__all__ if name not in ("units", "__version__")]
FUNCTIONS = [name for name in PUBLIC if inspect.isfunction(getattr(libdrag, name))]
CLASSES = [name for name in PUBLIC if inspect.isclass(getattr(libdrag, name))]


def python(*args, **kwargs):
    return subprocess.run([sys.executable, *args], capture_output=True, text=True, timeout=1200, **kwargs)


@pytest.fixture(scope="session")
def mypy(tmp_path_factory):
    cache = str(tmp_path_factory.mktemp("mypy"))  # the later runs are quick

    def run(*args, path=PACKAGE.parent):
        environment = {**os.environ, "MYPYPATH": str(path), "MYPY_CACHE_DIR": cache}
        return python("-m", *args, cwd=cache, env=environment)

    return run


def test_types(mypy, tmp_path):
    """The package is typed throughout, and so is what a user writes: right calls pass, a wrong type does not."""
    assert (PACKAGE / "py.typed").exists()
    (tmp_path / "user.py").write_text(
        "import libdrag\n"
        "her = libdrag.Body(sex='f', stature_m='172cm', mass_kg=63)\n"
        "area: float = her.volume_m3\n"
        "inverse: libdrag.Inverse = libdrag.wanted_gain(her, 0.2, event='100 free', time_s=62.4, hip_drop_deg=4)\n"
        "one: libdrag.Cost = libdrag.cost(her, event='100 free', time_s=62.4, hip_drop_deg=4)\n"
        "some: libdrag.Costs = libdrag.cost(her, event='100 free', time_s=62.4, hip_drop_deg=[2, 4])\n"
        "squad: libdrag.Costs = libdrag.cost([her, her], event='100 free', time_s=62.4, hip_drop_deg=4)\n"
        "picture: libdrag.Picture = one.picture()\n"
        "wrong: int = her.flags\n"
        "libdrag.pasive_drag(her, 1.5)\n"
        "libdrag.cost(her, event='100 free', time_s=62.4, hip_dorp_deg=4)\n"
        "one.mediann\n"
        "squad.medain\n"
    )
    # What xarray and pint are made of, which nobody here meets, is most of all that would be read.
    settings = tmp_path / "mypy.ini"
    settings.write_text(
        "[mypy]\n[mypy-dask.*,distributed.*,xarray.*,pint.*]\nfollow_imports = skip\n"
        "[mypy-xarray,xarray.core.dataset,pint]\nfollow_imports = normal\n"
    )
    done = mypy("mypy", "--strict", "--config-file", str(settings), str(PACKAGE), str(tmp_path / "user.py"))
    errors = [line for line in done.stdout.splitlines() if "error:" in line]
    assert len(errors) == 5, done.stdout
    assert all(f"user.py:{i}" in line for i, line in zip(range(9, 14), errors)), done.stdout


def test_stub_matches_the_module(mypy, tmp_path):
    (tmp_path / "libdrag").mkdir()
    (tmp_path / "libdrag" / "__init__.pyi").touch()  # the core alone: the rest is checked above
    (tmp_path / "libdrag" / "_core.pyi").write_text((PACKAGE / "_core.pyi").read_text())
    done = mypy("mypy.stubtest", "libdrag._core", path=tmp_path)
    problems = [line for line in done.stdout.splitlines() if line.startswith("error:")]
    # Classes of the core have their own metaclass; nothing else may differ.
    assert problems and all(
        line.endswith("is inconsistent, metaclass differs") for line in problems
    ), done.stdout


def test_stub_has_the_cores_parameters():
    """stubtest cannot see the parameters of compiled functions: they are the first line of their docstrings."""

    def parameters(node):
        return [a.arg for a in node.args.args if a.arg != "self"]

    def compiled(function):
        inside = re.match(r"\w+\((.*)\)", function.__doc__.splitlines()[0]).group(1)
        return re.findall(r"(?:^|, )(\w+): ", inside.replace("self: ", "self_: "))

    tree = ast.parse((PACKAGE / "_core.pyi").read_text())
    checked = 0
    for node in tree.body:
        if isinstance(node, ast.FunctionDef):
            assert parameters(node) == compiled(getattr(core, node.name)), node.name
            checked += 1
        if isinstance(node, ast.ClassDef):
            for method in node.body:
                if isinstance(method, ast.FunctionDef) and not method.decorator_list:
                    names = compiled(getattr(getattr(core, node.name), method.name))
                    assert parameters(method) == [n for n in names if n != "self_"], (node.name, method.name)
                    checked += 1
    assert checked > 60


def test_all_is_what_it_says():
    assert len(set(libdrag.__all__)) == len(libdrag.__all__)
    for name in libdrag.__all__:
        value = getattr(libdrag, name)
        assert not name.startswith("_") or name == "__version__"
        if inspect.isfunction(value) or inspect.isclass(value):
            assert value.__module__ in ("libdrag", "libdrag.units"), name
    with pytest.raises(AttributeError):
        libdrag.no_such_name


def described(doc, heading):
    """The names that a numpydoc section describes."""
    section = re.search(rf"^{heading}\n-+\n(.*?)(?=\n\n\w[\w ]*\n-+\n|\Z)", doc, re.DOTALL | re.MULTILINE)
    lines = section.group(1).splitlines() if section else []
    names = [line.split(" : ")[0] for line in lines if line and not line.startswith(" ")]
    return {name.strip(" *") for group in names for name in group.split(",")}


@pytest.mark.parametrize("name", FUNCTIONS)
def test_functions_are_documented(name):
    """numpydoc: one sentence first, every parameter described, and what comes back."""
    function = getattr(libdrag, name)
    doc = inspect.getdoc(function)
    assert doc.split("\n\n")[0].rstrip().endswith("."), doc
    parameters = set(inspect.signature(function).parameters)
    assert described(doc, "Parameters") == parameters
    assert "Returns\n-------" in doc


@pytest.mark.parametrize("name", CLASSES)
def test_classes_are_documented(name):
    """Every public attribute of a value is described, and every parameter of what is made by hand."""
    cls = getattr(libdrag, name)
    doc = inspect.getdoc(cls)
    known = described(doc, "Attributes") | described(doc, "Parameters")
    slots = {
        slot for base in cls.__mro__ for slot in getattr(base, "__slots__", ()) if not slot.startswith("_")
    }
    properties = {n for n, v in inspect.getmembers(cls) if isinstance(v, property) and not n.startswith("_")}
    assert known >= (set(getattr(cls, "_fields", ())) | slots | properties)


def test_parameters_carry_units():
    """Plain numbers are never without a unit in their name, but for the few that have none."""
    unitless = {
        "draws", "seed", "level", "threads", "want", "exponent", "drag_change", "fineness", "thickness", "froude",
        "reynolds", "values", "within_stroke", "child", "shortest", "overwrite", "slip_px",
    }  # fmt: skip
    endings = re.compile(r"_(deg|m_s|m2|m3|kg_m|kg|m|s|N|c|cycles|percent|years)$")
    for name in FUNCTIONS:
        for parameter in inspect.signature(getattr(libdrag, name)).parameters.values():
            if parameter.annotation in ("Array", "Number") or "Number" in str(parameter.annotation):
                assert (
                    endings.search(parameter.name) or parameter.name in unitless
                ), f"{name}: {parameter.name}"


@pytest.mark.parametrize("module", ["libdrag", "libdrag.units", "libdrag.plot"])
def test_examples_in_docstrings(module):
    result = doctest.testmod(
        importlib.import_module(module),
        extraglobs={
            **vars(libdrag),
            "evidence": functools.cache(libdrag.evidence),  # a second, for each that shows a part of it
            "libdrag": libdrag,
            "plot": importlib.import_module("libdrag.plot"),
        },
        optionflags=doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS,
    )
    assert result.failed == 0
    assert result.attempted > 0


# numpydoc: a heading is underlined to its length after an empty line, and has something under it. Whatever wraps
# a callable keeps that.
HEADINGS = ["Parameters", "Attributes", "Returns", "Raises", "Warnings", "Notes", "References", "Examples"]


PLOTS = [f"plot.{name}" for name in importlib.import_module("libdrag.plot").__all__]


@pytest.mark.parametrize("name", [*PUBLIC, *PLOTS])
def test_sections_and_examples_of_docstrings(name):
    value = operator.attrgetter(name)(libdrag)
    doc = inspect.getdoc(value)
    lines = doc.splitlines()
    found = [i for i, line in enumerate(lines) if i and set(line) == {"-"}]
    for i in found:
        assert lines[i - 1] in HEADINGS and len(lines[i]) == len(lines[i - 1]), lines[i - 1]
        assert lines[i - 2] == "" and lines[i + 1].strip(), lines[i - 1]
    order = [HEADINGS.index(lines[i - 1]) for i in found]
    assert order == sorted(set(order)) and HEADINGS.index("Examples") in order
    assert ">>> " in doc.split("Examples\n--------\n")[1]
    if inspect.isfunction(value) and name not in PLOTS:
        wrapped = getattr(libdrag.with_units(libdrag), name)
        assert inspect.getdoc(wrapped) == doc and wrapped.__name__ == name
        assert inspect.signature(wrapped) == inspect.signature(value)


def test_a_star_brings_in_no_matplotlib():
    code = "import sys; sys.modules['matplotlib'] = None; from libdrag import *; print(froude(1.5, 2.0))"
    done = python("-c", code)
    assert done.returncode == 0 and float(done.stdout) > 0.3, done.stderr


def test_import_brings_in_nothing_heavy():
    """The time of an import is in the benchmark; what costs time is seen here: packages that only some calls need."""
    done = python(
        "-c",
        "import sys, numpy; before = set(sys.modules); import libdrag; print(*sorted(set(sys.modules) - before))",
    )
    assert done.returncode == 0, done.stderr
    loaded = {name.split(".")[0] for name in done.stdout.split()}
    heavy = {
        "matplotlib",
        "scipy",
        "pandas",
        "xarray",
        "pint",
        "uncertainties",
        "IPython",
        "ipywidgets",
        "csv",
        "json",
    }
    assert not loaded & heavy, loaded & heavy


def readme_python():
    text = (ROOT / "README.md").read_text()
    section = text.split("\n## From Python\n", 1)[1].split("\n## ", 1)[0]
    return re.findall(r"```python\n(.*?)```", section, re.DOTALL), section


def test_readme_lines_run(tmp_path):
    """Each block of the README's Python section runs, in order, and gives what the comments after arrows say."""
    blocks, _ = readme_python()
    lines = "\n".join(blocks).splitlines()
    said = [line.partition("  # → ") for line in lines]
    program = "\n".join(f"print(repr(({code})))" if arrow else code for code, arrow, _ in said)
    done = python("-c", program, cwd=tmp_path, env={**os.environ, "MPLBACKEND": "Agg"})
    assert done.returncode == 0, done.stderr
    expected = [text for _, arrow, text in said if arrow]
    printed = done.stdout.splitlines()
    assert len(expected) == len(printed) >= 5
    for text, shown in zip(expected, printed):
        assert text in shown
    assert (tmp_path / "cost.svg").stat().st_size > 5_000


def test_readme_set_up_command_is_the_one_that_is_tested():
    _, section = readme_python()
    assert (
        'export PYTHONPATH="$PWD/build/python/bindings/python"' in section
    ), "an absolute path survives a cd"
    assert "/usr/bin/python3" in section, "which python3"
    assert "pip install --no-build-isolation" in section
