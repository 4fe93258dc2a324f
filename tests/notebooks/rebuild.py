"""Run every notebook and store it with its text outputs and counts, without pictures or the state of its controls.

Use: .venv/bin/python tests/notebooks/rebuild.py [NOTEBOOK ...]
"""

from __future__ import annotations

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
KEPT_METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
    "maker_kit": {"run_on_open": True},
}


def store(path: Path) -> None:
    """Run one notebook in its own folder and write it back."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(
        notebook,
        timeout=600,
        kernel_name="python3",
        extra_arguments=["--log-level=ERROR"],
        resources={"metadata": {"path": str(path.parent)}},
    ).execute()
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        cell.metadata.pop("execution", None)
        kept = []
        for output in cell.outputs:
            data = output.get("data", {})
            for kind in [k for k in data if k.startswith("image/") or "widget" in k]:
                del data[kind]
                output.metadata.pop(kind, None)
            output.pop("transient", None)
            if output.output_type == "stream" and output.name == "stderr":
                continue
            if "data" in output and not data:
                continue
            kept.append(output)
        cell.outputs = kept
    notebook.metadata = nbformat.from_dict(KEPT_METADATA)
    nbformat.write(notebook, path)


if __name__ == "__main__":
    for name in sys.argv[1:] or sorted(p.name for p in NOTEBOOKS.glob("*.ipynb")):
        store(NOTEBOOKS / Path(name).name)
        sys.stdout.write(f"stored {name}\n")
