"""Takes the cells of a twin into its notebook: a cell whose source is unchanged keeps its outputs and its name."""

from __future__ import annotations

import copy
import difflib
from typing import Any

from .percent import Cell, cells_of


def applied(notebook: dict[str, Any], twin: list[Cell]) -> dict[str, Any]:
    """The notebook with the twin's cells."""
    result = copy.deepcopy(notebook)
    before = [(cell.kind, cell.source) for cell in cells_of(notebook)]
    after = [(cell.kind, cell.source) for cell in twin]
    taken = {cell.get("id") for cell in notebook["cells"]}
    cells: list[dict[str, Any]] = []
    # Without its guess at what is junk: a line of code that occurs often is none.
    for what, i, j, k, m in difflib.SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if what == "equal":
            cells += [tagged(cell, new) for cell, new in zip(result["cells"][i:j], twin[k:m])]
            continue
        # Edited cells keep the names of those they stand for, as long as there are some of their kind.
        free = result["cells"][i:j]
        for new in twin[k:m]:
            old = next((cell for cell in free if cell["cell_type"] == new.kind), None)
            if old is not None:
                del free[: free.index(old) + 1]
            cells.append(made(new, old["id"] if old else name(taken)))
    result["cells"] = cells
    return result


def made(cell: Cell, name: str) -> dict[str, Any]:
    node: dict[str, Any] = {"cell_type": cell.kind, "id": name, "metadata": {}, "source": cell.source.splitlines(True)}
    if cell.kind == "code":
        node |= {"execution_count": None, "outputs": []}
    return tagged(node, cell)


def tagged(node: dict[str, Any], cell: Cell) -> dict[str, Any]:
    node["metadata"].pop("tags", None)
    if cell.tags:
        node["metadata"]["tags"] = list(cell.tags)
    return node


def name(taken: set[Any]) -> str:
    number = next(number for number in range(1, 10_000) if f"cell-{number:02}" not in taken)
    taken.add(f"cell-{number:02}")
    return f"cell-{number:02}"
