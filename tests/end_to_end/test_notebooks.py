from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

FOLDER = Path(__file__).resolve().parents[2] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))


def test_there_is_a_notebook():
    assert [path.name for path in NOTEBOOKS] == ["first_ranking.ipynb"]


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_outputs_are_stripped(path):
    cells = nbformat.read(path, as_version=4).cells
    stored = [
        cell.id for cell in cells if cell.cell_type == "code" and (cell.outputs or cell.execution_count)
    ]
    assert stored == []


@pytest.mark.slow
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs_and_draws_its_figure(path):
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(notebook, timeout=120, resources={"metadata": {"path": str(FOLDER)}}).execute()
    shown = [output for cell in notebook.cells if cell.cell_type == "code" for output in cell.outputs]
    assert sum("image/png" in output.get("data", {}) for output in shown) == 1
    assert not [output for output in shown if output.output_type == "error"]
