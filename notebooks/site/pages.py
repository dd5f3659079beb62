"""Writes what Sphinx reads: python3 notebooks/site/pages.py BUILD_DIR SOURCE_DIR, with libdrag importable.

The pages are the README, the list of headers, a page per part of the Python package, the notebooks, the manual and
the evidence. Their texts stand where they always stand; the headers' own pages are doxygen's.
"""

import importlib
import inspect
import re
import subprocess
import sys
from pathlib import Path

import libdrag

ROOT = Path(__file__).resolve().parents[2]
BUILD, SOURCE = map(Path, sys.argv[1:])
DRAGCALC = BUILD / "cli" / "dragcalc"
LIST = ROOT / "libdrag" / "CMakeLists.txt"


def write(name, text):
    (SOURCE / name).parent.mkdir(parents=True, exist_ok=True)
    (SOURCE / name).write_text(text)


def headed(title, *parts):
    return "\n\n".join([f"{title}\n{'=' * len(title)}", *parts]) + "\n"


def contents(pages, depth=1):
    return f".. toctree::\n   :maxdepth: {depth}\n\n" + "\n".join(f"   {page}" for page in pages)


def output(*command):
    return subprocess.run(list(map(str, command)), check=True, text=True, capture_output=True).stdout


def indented(text):
    return "\n".join(f"   {line}".rstrip() for line in text.splitlines())


def headers():
    """The library's list, which is in the order in which they build on each other, with each one's first sentence."""
    rows = []
    for header in re.findall(r"^  include/(libdrag/\w+\.hpp)", LIST.read_text(), re.M):
        about = re.search(
            r"^/// @file\n((?:/// ?.*\n)+)", (LIST.parent / "include" / header).read_text(), re.M
        )[1]
        sentence = re.match(r".*?\.(?=\s|$)", re.sub(r"\s*/// ?", " ", about).strip())[0].replace("`", "")
        page = Path(header).name.replace("_", "__").replace(".", "_8")
        rows.append(f"`{header} <headers/{page}.html>`__\n   {sentence}")
    intro = "Each header is one phenomenon, and includes only those before it. All of it, `by name <headers/index.html>`__."
    write("headers.rst", headed("C++ headers", intro, *rows))


def python():
    """A page per file of the package: its names as they are imported from libdrag."""
    names = [path.stem for path in sorted((ROOT / "bindings" / "python" / "libdrag").glob("*.py"))]
    pages = []
    for name in names:
        if name == "__init__":
            continue
        module = importlib.import_module(f"libdrag.{name}")
        where = "libdrag" if name.startswith("_") else f"libdrag.{name}"
        entries = []
        for member in getattr(module, "__all__", ()):
            value = getattr(module, member)
            kind = "class" if inspect.isclass(value) else "function" if inspect.isroutine(value) else "data"
            options = "\n   :members:" if kind == "class" else ""
            entries.append(f".. auto{kind}:: {where}.{member}{options}")
        if entries:
            pages.append(name.strip("_"))
            write(f"python/{pages[-1]}.rst", headed(pages[-1], module.__doc__, *entries))
    write("python/index.rst", headed("Python", ".. automodule:: libdrag", contents(pages)))


def manual():
    write("manual.1", output(DRAGCALC, "manual"))
    write("manual.html", output("mandoc", "-T", "html", "-O", "fragment", SOURCE / "manual.1"))
    write("manual.rst", headed("dragcalc", ".. raw:: html\n   :file: manual.html"))


def evidence():
    words = output(DRAGCALC, "evidence", "--plot", SOURCE / "evidence.svg")
    numbers = output(DRAGCALC, "sources")
    picture = ".. image:: evidence.svg\n   :alt: each published measurement beside the range predicted for it"
    text = [".. code-block:: none\n\n" + indented(part) for part in (words, numbers)]
    write("evidence.rst", headed("Evidence", picture, text[0], "Every number used", "-" * 17, text[1]))


def notebooks():
    pages = sorted(path.stem for path in (SOURCE / "notebooks").glob("*.md"))
    write("notebooks/index.rst", headed("Notebooks", contents(pages)))


def front():
    readme = (ROOT / "README.md").read_text()
    parts = ["notebooks/index", "manual", "python/index", "headers", "evidence", "DEVELOPERS"]
    write("index.md", readme + "\n```{toctree}\n:hidden:\n\n" + "\n".join(parts) + "\n```\n")
    write("DEVELOPERS.md", (ROOT / "DEVELOPERS.md").read_text())


for part in (headers, python, manual, evidence, notebooks, front):
    part()
