"""The notebooks as a student gets them: clean in git, every cell run in order from a clean kernel, with sliders and
without, no error, no warning, no cell that hangs."""

import functools
import json
import os
import pickle
import re
import subprocess
import sys
import types
import warnings
from pathlib import Path

import IPython
import matplotlib
import nbformat
import numpy as np
import pytest
from IPython.display import HTML, Markdown
from nbclient import NotebookClient

import libdrag

FOLDER = Path(__file__).resolve().parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)

# Debian 12 has ipywidgets 6, which notebooks use in front of a person only: taken for a newer one here, so that
# the way with sliders runs as well.
WITH_SLIDERS = "import ipywidgets\nipywidgets.version_info = (8, 0, 0, 'final', 0)\n"

# The table of the published numbers, and of drag alone, takes a second, and several notebooks read it: those of this
# process are brought along.
WEIGHED = [{}, {"coefficients": {"evidence.breath.other_causes": "0+-0"}}]
EVIDENCE = """
import pickle
import libdrag
weigh = libdrag.evidence
with open({!r}, "rb") as kept:
    weighed = pickle.load(kept)
libdrag.evidence = lambda **given: weighed.get(str(given)) or weigh(**given)
"""

# A bar on a logarithmic axis has no zero to start from; a legend over a point hides what was drawn.
GOOD_PICTURES = """
from matplotlib.axes import Axes
from matplotlib.container import BarContainer
draw_axes = Axes.draw
def draw(ax, renderer):
    draw_axes(ax, renderer)
    if any(isinstance(bars, BarContainer) for bars in ax.containers):
        assert ax.get_xscale() == ax.get_yscale() == "linear", "bars on a logarithmic axis"
    if ax.get_legend() is not None:
        box = ax.get_legend().get_window_extent(renderer)
        marked = [line for line in ax.lines if str(line.get_marker()) not in ("None", "", " ")]
        points = [point for line in marked for point in ax.transData.transform(line.get_xydata())]
        assert not any(box.contains(*point) for point in points), "a legend over points"
Axes.draw = draw
"""


class Client(NotebookClient):
    """Nobody looks at the widgets: they are counted, and what they show stays with the cell."""

    widgets = 0

    def on_comm_open_jupyter_widget(self, msg):
        self.widgets += 1


def run(notebook, tmp_path, startup):
    """Executes a notebook in a clean kernel of this interpreter, in an empty folder."""
    kernel = tmp_path / "kernels" / "python3"
    profile = tmp_path / "profile_default" / "startup"
    empty = tmp_path / "empty"
    for folder in (kernel, profile, empty):
        folder.mkdir(parents=True)
    command = [sys.executable, "-m", "ipykernel_launcher", "-f", "{connection_file}"]
    spec = {"argv": command, "display_name": "Python 3", "language": "python"}
    (kernel / "kernel.json").write_text(json.dumps(spec))
    (profile / "00.py").write_text(startup)

    resources = {"metadata": {"path": str(empty)}}
    client = Client(
        notebook,
        timeout=1200,
        startup_timeout=1200,
        kernel_name="python3",
        store_widget_state=False,
        resources=resources,
    )
    with pytest.MonkeyPatch.context() as patch:
        # The kernel written above comes before one of its name that somebody has installed.
        patch.setenv("JUPYTER_PATH", str(tmp_path))
        patch.setenv("IPYTHONDIR", str(tmp_path))
        patch.setenv("PYDEVD_DISABLE_FILE_VALIDATION", "1")
        patch.delenv("MPLBACKEND", raising=False)
        client.execute()
    assert not list(empty.iterdir()), "a notebook leaves no files behind"
    return client


@functools.cache
def weighed():
    """Tables by what they are asked with."""
    return {str(given): libdrag.evidence(**given) for given in WEIGHED}


@pytest.fixture
def run_here(monkeypatch):
    """Executes a notebook's cells in this process, in a namespace of their own, without ipywidgets, and draws the figures
    as a kernel does; gives what each of them says in words. A kernel takes two seconds to be there."""
    from matplotlib import pyplot
    from matplotlib.axes import Axes

    words = []

    def display(*shown):
        words[-1] += [part.data for part in shown if isinstance(part, Markdown)]
        for part in shown:
            assert isinstance(part, (Markdown, HTML, libdrag.Picture)), part

    def show():
        for number in pyplot.get_fignums():
            pyplot.figure(number).canvas.draw()
        pyplot.close("all")

    known, weigh = weighed(), libdrag.evidence
    monkeypatch.setattr(libdrag, "evidence", lambda **given: known.get(str(given)) or weigh(**given))
    pyplot.switch_backend("agg")
    monkeypatch.setattr(IPython, "get_ipython", lambda: types.SimpleNamespace(kernel=True))
    monkeypatch.setattr(IPython.display, "display", display)
    monkeypatch.setitem(sys.modules, "ipywidgets", None)
    monkeypatch.setattr(Axes, "draw", Axes.draw)  # which GOOD_PICTURES replaces
    monkeypatch.setattr(pyplot, "show", show)

    def run_here(path, notebook=None):
        notebook = notebook or nbformat.read(path, as_version=4)
        words.clear()
        exec(GOOD_PICTURES, {})
        space = {"__name__": "__main__"}
        try:
            with matplotlib.rc_context(), warnings.catch_warnings():
                warnings.simplefilter("error")
                warnings.simplefilter("ignore", ResourceWarning)  # whose, is chance
                for i, cell in enumerate(notebook.cells):
                    if cell.cell_type == "code":
                        words.append([])
                        exec(compile(cell.source, f"{path.name}, cell {i}", "exec"), space)
        finally:
            pyplot.close("all")
        return ["\n".join(said) for said in words]

    return run_here


def outputs(notebook):
    return [output for cell in notebook.cells for output in cell.get("outputs", [])]


def headings(notebook):
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    return re.findall(r"^## (.+)$", text, re.MULTILINE)


def test_the_notebooks_are_there():
    assert [path.stem[0] for path in NOTEBOOKS] == list("1234567")


@each
def test_clean_in_git(path):
    text = path.read_text(encoding="utf-8")
    notebook = nbformat.reads(text, as_version=4)
    nbformat.validate(notebook)
    assert text == nbformat.writes(notebook) + "\n", "as nbformat writes it: small changes look small"
    assert set(notebook.metadata) == {"kernelspec", "language_info"}, "no widget state, no editor's settings"
    assert notebook.metadata.kernelspec.name == "python3"
    assert set(notebook.metadata.language_info) == {"name"}, "no version of whoever ran it last"
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert cell.outputs == [] and cell.execution_count is None, cell.source


@each
def test_has_its_parts(path):
    notebook = nbformat.read(path, as_version=4)
    first = notebook.cells[0]
    assert first.cell_type == "markdown" and first.source.startswith("# ")
    assert re.search(r"\*\*The question\.\*\*[^#]*\?", first.source), "which question it answers"

    *_, exercises, sources = headings(notebook)
    assert exercises in ("Exercises", "Things to try")
    assert sources in ("Sources", "Where this comes from")
    tail = "\n".join(cell.source for cell in notebook.cells).partition(f"## {exercises}")[2]
    assert len(re.findall(r"^\d+\. ", tail.partition(f"## {sources}")[0], re.MULTILINE)) >= 4

    code = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "code")
    compile(code, str(path), "exec")
    assert "libdrag.sources()" in code or "libdrag.evidence(" in code, "numbers from the tables"
    assert len(re.findall(r"^\s*assert ", code, re.MULTILINE)) >= 5, "a wrong number must stop it"


@each
def test_runs_from_a_clean_kernel(path, tmp_path):
    notebook = nbformat.read(path, as_version=4)
    (tmp_path / "evidence").write_bytes(pickle.dumps(weighed()))
    brought = EVIDENCE.format(str(tmp_path / "evidence"))
    client = run(notebook, tmp_path, GOOD_PICTURES + WITH_SLIDERS + brought)
    assert all(cell.execution_count for cell in notebook.cells if cell.cell_type == "code" and cell.source)
    # What a slider shows raises within the widget, where it does not stop the notebook.
    assert not [output for output in outputs(notebook) if output.output_type == "error"]
    assert not [output.text for output in outputs(notebook) if output.get("name") == "stderr"], "no warnings"
    kinds = [kind for output in outputs(notebook) for kind in output.get("data", {})]
    assert "image/png" in kinds or "image/svg+xml" in kinds, "pictures"
    assert (client.widgets > 0) == any("slider(" in cell.source for cell in notebook.cells)


# All draw through one function, `libdrag.plot.slider`: one notebook shows what the others do without widgets on axes,
# the sixth, below, what they do with pictures of the library.
def test_runs_without_sliders(run_here):
    run_here(NOTEBOOKS[0])


@each
def test_a_wrong_number_stops_it(path, run_here, monkeypatch):
    """In a world where every published number is a third larger, or as large as it may be, no notebook comes to its
    end."""
    published = libdrag._core.sources

    def larger(row):
        most = 1e9 if row["replaceable"] is None else row["replaceable"][1]
        return {**row, **{name: min(4 / 3 * row[name], most) for name in ("value", "used")}}

    monkeypatch.setattr(libdrag._core, "sources", lambda: [larger(row) for row in published()])
    with pytest.raises(AssertionError) as stopped:
        run_here(path)
    assert str(stopped.traceback[-1].path).startswith(path.name), "by a check of its own"


SOURCES = libdrag.sources()
AS_READ = {  # what notebooks repeat in words: where it stands
    "1": [
        (r"prints a drag coefficient of ([\d.]+)", "{:.2f}", SOURCES["resistance.passive.cd"].value),
        (r"drag of those with ([\d.]+);", "{:.2f}", SOURCES["resistance.passive.cd"].value),
    ],
    "4": [(r"a wind tunnel gave ([\d.]+) %", "{:g}", SOURCES["tilt.slope"].value)],
}
NAMED = {  # what they name by its key and do not repeat, beside what is read above
    "1": ["resistance.passive.cd", "resistance.active.residual.k", "resistance.active.residual.exponent"],
    "4": [],
}


@pytest.mark.parametrize("number", AS_READ)
def test_numbers_in_prose_are_those_of_the_tables(number):
    notebook = nbformat.read(NOTEBOOKS[int(number) - 1], as_version=4)
    prose = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    for pattern, form, value in AS_READ[number]:
        found = re.findall(pattern, prose)
        assert found == [form.format(value)], pattern
    for key in NAMED[number]:
        assert f"{SOURCES[key].value:g}" not in prose, key
        assert f'SOURCES["{key}"]' in "\n".join(cell.source for cell in notebook.cells), key
    code = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "code")
    # Printed with their drag, and in no column of the table: as the code beside them has them.
    for said in re.findall(r"\b(0\.30|0\.64)\b", prose):
        assert said in code


# --- another swimmer in notebook 6 ------------------------------------------------------------------

ALIGNMENT = NOTEBOOKS[5]
OTHERS = {
    "tall": dict(
        name="Otto",
        body=dict(sex="m", stature_m=1.93, mass_kg=88),
        race=dict(event="400 free", course="lcm", time_s="3:58", breathe="every-3"),
        hips_deg=9,
        head_cm=7,
    ),
    "nearly-level": dict(
        name="Ada",
        body=dict(sex="f", stature_m=1.61, mass_kg=52),
        race=dict(event="50 free", course="scm", time_s="27.90", breathe="every-4"),
        hips_deg=0.5,
        head_cm=10,
    ),
}


def inputs(name, body, race, hips_deg, head_cm):
    return (
        f"import libdrag\nname = {name!r}\nswimmer = libdrag.Body(**{body!r})\nrace = {race!r}\n"
        f"hips_deg = {hips_deg!r}\nhead_cm = {head_cm!r}"
    )


def test_written_words_are_nobodys():
    """What is not computed says nothing that depends on who swims."""
    notebook = nbformat.read(ALIGNMENT, as_version=4)
    written = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    (first,) = [cell.source for cell in notebook.cells if cell.id == "inputs"]
    names = re.findall(r'"(.+?)"', first)
    assert "Mara" in names and "every-2" in names
    assert not [name for name in names if len(name) > 1 and name in written]
    assert not re.search(r"\d ?(°|cm|kg|degrees)|second arm stroke|(100|400) m", written)


@pytest.mark.parametrize("other", OTHERS.values(), ids=list(OTHERS))
def test_every_sentence_follows_the_swimmer(other, run_here):
    notebook = nbformat.read(ALIGNMENT, as_version=4)
    (cell,) = [cell for cell in notebook.cells if cell.id == "inputs"]
    cell.source = inputs(**other)
    texts = run_here(ALIGNMENT, notebook)
    everything = "\n".join(texts)

    race, hips = other["race"], other["hips_deg"]
    body = libdrag.Body(**other["body"])
    cost = libdrag.cost(body, hip_drop_deg=hips, **race)
    pattern = {"every-3": "every third arm stroke", "every-4": "every fourth arm stroke"}[race["breathe"]]
    for words in (
        other["name"],
        f"{body.stature_m:.2f} m",
        f"{body.mass_kg:.0f} kg",
        libdrag.format_time(cost.time_s),
        cost.event,
        f"a breath {pattern}",
        f"Breathe {pattern}",
        f"hips {hips:g}° lower",
        f"{hips:g} degrees",
        f"From {hips:g}° to {hips / 2:g}°",
        f"{100 * body.shoulder_hip_m * np.sin(np.radians(hips)):.2g} cm lower",
        f"{100 * cost.low_share:.0f} % of each stroke cycle",
        f"Your head, {other['head_cm']} cm up",
        cost.because[0].input,
    ):
        assert words in everything, words
    for words in ("Mara", "1.72", "63 kg", "1:02", "100 m", "second arm stroke", " 4°", " 4 degrees", "6 cm"):
        assert words not in everything, words

    (price,) = [text for text in texts if "At each breath your hips sink" in text]
    if round(10 * cost.median) >= 10:
        assert f"costs you about {round(2 * cost.median) / 2:g} seconds" in price
    else:
        assert "costs you next to nothing" in price and cost.median < 0.05
    assert all(words in price for words in cost.cautions), "cautions stand beside the sentence"
    assert bool(cost.cautions) == ("Caution" in price)
    film_shows_it = hips / 2 > 2 * np.sqrt(2 / 10) * libdrag.sources()["breath.measured_drop.sd"].value
    assert ("show it first" in everything) == film_shows_it
    assert ("the head alone may be all of it" in everything) == (not film_shows_it)


# --- notebooks/open.sh ------------------------------------------------------------------------------


def script(*arguments, cwd, **environment):
    """Runs notebooks/open.sh from another folder, with a foreign kernel and a foreign python3 in the way."""
    foreign = cwd / "data" / "jupyter" / "kernels" / "python3"
    foreign.mkdir(parents=True)
    spec = {"argv": ["/bin/false"], "display_name": "another", "language": "python"}
    (foreign / "kernel.json").write_text(json.dumps(spec))
    (cwd / "python3").write_text("#!/bin/sh\nexit 1\n")
    (cwd / "python3").chmod(0o755)
    environment = {
        **os.environ,
        "XDG_DATA_HOME": str(cwd / "data"),
        "JUPYTER_DATA_DIR": str(cwd / "data" / "jupyter"),
        "PATH": f"{cwd}:{os.environ['PATH']}",
        **environment,
    }
    environment.pop("MPLBACKEND", None)
    command = ["sh", str(FOLDER / "open.sh"), *arguments]
    return subprocess.run(command, cwd=cwd, env=environment, capture_output=True, text=True, timeout=600)


def test_one_command_renders_a_page(tmp_path):
    done = script("html", "6", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    page = Path(os.environ["LIBDRAG_BUILD_DIR"], "notebooks", f"{ALIGNMENT.stem}.html").read_text("utf-8")
    assert page.count("<svg") >= 4 and "data:image/png;base64" in page, "pictures are in the page"
    assert "At each breath your hips sink" in page
    assert ">spoken</span>" not in page, "the coach's page has no folded code"
    assert "stature_m" in page, "but the cell to fill in"


def test_one_command_opens_a_notebook(tmp_path):
    """With a stand-in for the server, which says what it was started with."""
    (tmp_path / "notebook").mkdir()
    (tmp_path / "notebook" / "__init__.py").write_text("")  # else the installed package comes first
    (tmp_path / "notebook" / "__main__.py").write_text(
        "import libdrag, os, sys\nprint(sys.executable, libdrag.__file__, os.environ['JUPYTER_PATH'], sys.argv[-1])\n"
    )
    python_path = f"{tmp_path}:{os.environ.get('PYTHONPATH', '')}"
    done = script("4", cwd=tmp_path, PYTHONPATH=python_path)
    assert done.returncode == 0, done.stderr
    python, package, jupyter, opened = done.stdout.splitlines()[-1].split()
    assert python.startswith("/usr/bin/python3") and Path(opened) == NOTEBOOKS[3]
    build = os.environ["LIBDRAG_BUILD_DIR"]
    assert package.startswith(build) and jupyter.startswith(build)


@pytest.mark.parametrize("arguments", [[], ["8"], ["html", "8"], ["1", "2"], ["4_seconds.ipynb"]])
def test_says_how_it_is_called(arguments, tmp_path):
    done = script(*arguments, cwd=tmp_path)
    assert done.returncode == 2 and done.stdout == "" and done.stderr.startswith("usage: ")
    assert done.stderr.count("\n") == 1
