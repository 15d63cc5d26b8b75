"""Run notebooks in fresh kernels and write them back in one normal form.

``python tests/notebooks/rerun.py [NAME ...]`` (default: every notebook). Stored are outputs and execution counts, and
nothing that changes from run to run: no timings, no widget state, no widget views (a page without a kernel shows the
picture and the sentence beside them), no kernel version, no random cell ids.
"""

from __future__ import annotations

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def joined(outputs: list[nbformat.NotebookNode]) -> list[nbformat.NotebookNode]:
    """Return the outputs with consecutive prints joined: a kernel splits them at random."""
    kept: list[nbformat.NotebookNode] = []
    for output in outputs:
        before = kept[-1] if kept else None
        if before and output.output_type == before.output_type == "stream" and output.name == before.name:
            before.text += output.text
        else:
            kept.append(output)
    return kept


def normal_form(notebook: nbformat.NotebookNode) -> nbformat.NotebookNode:
    """Return the notebook without what differs between two runs of the same cells."""
    notebook.metadata = nbformat.from_dict(METADATA)
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    for number, cell in enumerate(notebook.cells):
        cell.id = f"cell-{number:02d}"
        tags = cell.metadata.get("tags")
        cell.metadata = nbformat.from_dict({"tags": tags} if tags else {})
        if cell.cell_type == "code":
            cell.metadata["jupyter"] = {"source_hidden": True}  # one click opens it
        if "outputs" in cell:
            cell.outputs = joined(cell.outputs)
        for output in cell.get("outputs", []):
            picture = output.pop("metadata", {}).get("image/png")  # its size on the page
            if output.output_type in ("display_data", "execute_result"):
                output.metadata = nbformat.from_dict({"image/png": picture} if picture else {})
                output.data.pop(WIDGET_VIEW, None)
        if "outputs" in cell:
            cell.outputs = [output for output in cell.outputs if output.get("data") != {}]  # nothing but a view
    return notebook


def rerun(path: Path) -> str:
    """Run one notebook from the top in a fresh kernel; return the text that should replace its file."""
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(
        notebook,
        timeout=120,
        kernel_name="python3",
        record_timing=False,
        store_widget_state=False,
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    return nbformat.writes(normal_form(notebook), indent=1) + "\n"


def main(names: list[str]) -> None:
    """Rerun and write the named notebooks, or all of them."""
    for path in [NOTEBOOKS / name for name in names] or sorted(NOTEBOOKS.glob("*.ipynb")):
        text = rerun(path)
        changed = text != path.read_text(encoding="utf-8")
        path.write_text(text, encoding="utf-8", newline="\n")
        print(f"{path.name}: {'changed' if changed else 'as it was'}")


if __name__ == "__main__":
    main(sys.argv[1:])
