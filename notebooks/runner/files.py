"""Notebook files: reading them, writing fresh outputs into them."""

from __future__ import annotations

import os
from pathlib import Path

import nbformat
from nbformat import NotebookNode

import places
from failure import Failure


def read(path: Path) -> NotebookNode:
    try:
        notebook = nbformat.read(path, as_version=4)
        nbformat.validate(notebook)
    except Exception as error:
        raise Failure(path.name, "unreadable", str(error)) from error
    return notebook


def code_cells(notebook: NotebookNode) -> list[NotebookNode]:
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def with_outputs(notebook: NotebookNode, fresh: list[list[NotebookNode]]) -> NotebookNode:
    """The notebook as its readers shall have it."""
    result = nbformat.from_dict(notebook)
    result.metadata = nbformat.from_dict(
        {
            "kernelspec": {
                "display_name": places.KERNEL_TITLE,
                "language": "rust",
                "name": places.KERNEL_NAME,
            },
            "language_info": {
                "file_extension": ".rs",
                "mimetype": "text/rust",
                "name": "rust",
                "pygments_lexer": "rust",
            },
        }
    )
    for number, (cell, outputs) in enumerate(zip(code_cells(result), fresh), 1):
        cell.execution_count = number
        cell.outputs = outputs
        for output in outputs:
            if output.output_type == "execute_result":
                output.execution_count = number
    return result


def write(path: Path, notebook: NotebookNode) -> None:
    """All of it or nothing: the file is never half written."""
    fresh = path.with_suffix(f".{os.getpid()}.new")
    with open(fresh, "w", encoding="utf-8") as file:
        nbformat.write(notebook, file)
        file.flush()
        os.fsync(file.fileno())
    fresh.chmod(path.stat().st_mode)
    fresh.replace(path)
