"""The notebooks as a student gets them: clean in git, every cell run in order from a clean kernel, with sliders and
without, no error, no warning, no cell that hangs."""

import json
import re
import sys
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient
from nbclient.exceptions import CellExecutionError

FOLDER = Path(__file__).resolve().parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)

# Without ipywidgets a notebook shows three still pictures instead of a slider.
WITHOUT_SLIDERS = "import sys\nsys.modules['ipywidgets'] = None\n"
# Debian 12 has ipywidgets 6, which notebooks use in front of a person only: taken for a newer one here, so that
# the way with sliders runs as well.
WITH_SLIDERS = "import ipywidgets\nipywidgets.version_info = (8, 0, 0, 'final', 0)\n"

WRONG_NUMBERS = """
from libdrag import _core
published = _core.sources
_core.sources = lambda: [(key, 4 / 3 * value, *rest) for key, value, *rest in published()]
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


def outputs(notebook):
    return [output for cell in notebook.cells for output in cell.get("outputs", [])]


def headings(notebook):
    text = "\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    return re.findall(r"^## (.+)$", text, re.MULTILINE)


def test_the_notebooks_are_there():
    assert [path.stem[0] for path in NOTEBOOKS] == list("123456")


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


@pytest.mark.parametrize(
    "path, sliders",
    # All draw through one function, `libdrag.plot.slider`: one notebook shows what the others do without widgets.
    [pytest.param(path, True, id=path.stem) for path in NOTEBOOKS]
    + [pytest.param(path, False, id=f"{path.stem}-pictures") for path in NOTEBOOKS[:1]],
)
def test_runs_from_a_clean_kernel(path, sliders, tmp_path):
    notebook = nbformat.read(path, as_version=4)
    client = run(notebook, tmp_path, WITH_SLIDERS if sliders else WITHOUT_SLIDERS)
    assert all(cell.execution_count for cell in notebook.cells if cell.cell_type == "code" and cell.source)
    # What a slider shows raises within the widget, where it does not stop the notebook.
    assert not [output for output in outputs(notebook) if output.output_type == "error"]
    assert not [output.text for output in outputs(notebook) if output.get("name") == "stderr"], "no warnings"
    assert [output for output in outputs(notebook) if "image/png" in output.get("data", {})], "pictures"
    assert (client.widgets > 0) == (sliders and any("slider(" in cell.source for cell in notebook.cells))


@each
def test_a_wrong_number_stops_it(path, tmp_path):
    """In a world where every published number is a third larger no notebook comes to its end."""
    with pytest.raises(CellExecutionError) as stopped:
        run(nbformat.read(path, as_version=4), tmp_path, WITHOUT_SLIDERS + WRONG_NUMBERS)
    assert stopped.value.ename == "AssertionError"
