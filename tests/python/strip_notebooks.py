#!/usr/bin/python3
"""Takes outputs, counts and editors' settings out of notebooks, in place, as test_notebooks.py wants them in git.

strip_notebooks.py notebooks/*.ipynb
"""

import sys
from pathlib import Path

import nbformat

for name in sys.argv[1:]:
    path = Path(name)
    notebook = nbformat.read(path, as_version=4)
    notebook.metadata = {
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    }
    for cell in notebook.cells:
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
            cell.metadata.pop("execution", None)
    path.write_text(nbformat.writes(notebook) + "\n", encoding="utf-8")
