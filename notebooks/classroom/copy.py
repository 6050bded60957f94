"""The exercises of a notebook, and its copy for students."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import Any

from . import key
from .files import Trouble, digest, read_json

MOST = 50_000_000
WORKED = "worked"
CALL = re.compile(r"\bexercise\s*\(")
REMARK = re.compile(r"//.*")
HIDE = "shaftwork::notebook::hide_steps()?;"


def find(name: str, folder: Path) -> Path:
    """The notebook that a path means, or the beginning of a name."""
    stem = name if name.endswith(".ipynb") else f"{name}.ipynb"
    tried = [Path(stem), folder / stem, folder / "exercises" / stem]
    for path in tried:
        if os.path.isfile(path):
            return path
    exercises = _notebooks(folder / "exercises")
    begun = [path for path in exercises + _notebooks(folder) if name and path.name.startswith(name)]
    if len(begun) == 1:
        return begun[0]
    if begun:
        raise Trouble(f"{name} begins the names of {', '.join(path.stem for path in begun)}; name one of them")
    there = ", ".join(path.stem for path in exercises) or "none"
    raise Trouble(f"no notebook {name}; with exercises there are: {there}")


def _notebooks(folder: Path) -> list[Path]:
    """Those of a folder, without copies for students."""
    return sorted(path for path in folder.glob("*.ipynb") if path.suffixes == [".ipynb"])


def read(path: Path) -> dict[str, Any]:
    """A notebook of format 4 with cells as they should be."""
    notebook = read_json(path, MOST)
    cells, metadata = notebook.get("cells"), notebook.get("metadata")
    sound = isinstance(cells, list) and all(map(_is_cell, cells)) and isinstance(metadata, dict)
    if notebook.get("nbformat") != 4 or not sound:
        raise Trouble(f"{path} is not a notebook of format 4")
    if "shaftwork" in notebook["metadata"]:
        raise Trouble(f"{path} is a student copy; name the notebook that it was made from")
    return notebook


def exercises(notebook: dict[str, Any]) -> list[list[dict[str, Any]]]:
    """For every cell the exercises that its outputs carry, checked against what its code sets.

    The outputs are the one place of truth, so the notebook must have been run.
    """
    found: list[list[dict[str, Any]]] = []
    names: set[str] = set()
    for number, cell in enumerate(notebook["cells"], 1):
        here = _carried(cell, number)
        if len(CALL.findall(REMARK.sub("", _code(cell)))) > len(here):
            raise Trouble(
                f"cell {number} sets an exercise that its output does not show; "
                "end the cell with it, one to a cell, and run the notebook"
            )
        for one in here:
            name = key.same_name(one["name"])
            if name in names:
                raise Trouble(f'cell {number}: there is an exercise "{one["name"]}" already')
            names.add(name)
            if not _is_worked(cell):
                raise Trouble(f'cell {number} shows the answer to "{one["name"]}", so it must be tagged {WORKED}')
        found.append(here)
    if not names:
        raise Trouble("the notebook has no exercise: end a cell with exercise(name, answer, within)?")
    return found


def student_copy(notebook: dict[str, Any], name: str) -> dict[str, Any]:
    """The notebook without outputs and worked code, with steps hidden and the lines of the answer file at its end."""
    asked = exercises(notebook)
    cells = [_for_students(cell, here) for cell, here in zip(notebook["cells"], asked)]
    setup = next((cell for cell in cells if _code(cell).lstrip().startswith(":dep")), None)
    if setup is None:
        raise Trouble(f"no cell begins with :dep, or it is tagged {WORKED}; the copy needs it to load the library")
    setup["source"] = _code(setup).rstrip("\n") + "\n" + HIDE
    cells.append(_answer_sheet(asked, {cell.get("id") for cell in cells}))
    metadata = {**notebook["metadata"], "shaftwork": {"student_copy_of": name, "sha256": digest(cells)}}
    return {**notebook, "cells": cells, "metadata": metadata}


def unchanged(file: dict[str, Any]) -> bool:
    """Whether this is a student copy as it was written here, in which nobody has worked."""
    metadata = file.get("metadata")
    ours = metadata.get("shaftwork") if isinstance(metadata, dict) else None
    return isinstance(ours, dict) and ours.get("sha256") == digest(file.get("cells"))


def _for_students(cell: dict[str, Any], asked: list[dict[str, Any]]) -> dict[str, Any]:
    if cell["cell_type"] != "code":
        return cell
    cell = {**cell, "outputs": [], "execution_count": None}
    if _is_worked(cell):
        lines = [f"// Your turn: {_asked_for(one['name'], one['quantity'])}." for one in asked]
        cell["source"] = "\n".join(lines or ["// Your turn."])
        cell["metadata"] = {**cell["metadata"], "tags": [tag for tag in cell["metadata"]["tags"] if tag != WORKED]}
    return cell


def _asked_for(name: str, quantity: str) -> str:
    """The name with its quantity, unless the name says that already."""
    said = set(name.casefold().split()) >= set(quantity.casefold().split()[1:])
    return name if said else f"{name} ({quantity})"


def _answer_sheet(asked: list[list[dict[str, Any]]], ids: set[Any]) -> dict[str, Any]:
    lines = [_answer_line(key.exercise(one)) for here in asked for one in here]
    text = (
        "## Your answers\n\n"
        "Copy these lines into a text file and put a number with its unit behind each equals sign, with a decimal "
        "point; any unit after the `#` does.\n\n```text\n" + "\n".join(lines) + "\n```"
    )
    name = next(name for name in (f"answers-{n}" for n in range(len(ids) + 1)) if name not in ids)
    return {"cell_type": "markdown", "id": name, "metadata": {}, "source": text}


def _answer_line(exercise: key.Exercise) -> str:
    return f"{exercise.name} =   # {exercise.accepted}"


def _carried(cell: dict[str, Any], number: int) -> list[dict[str, Any]]:
    outputs = cell.get("outputs", [])
    data = [output.get("data") for output in outputs if isinstance(output, dict)]
    carried = [one[key.OUTPUT] for one in data if isinstance(one, dict) and key.OUTPUT in one]
    for one in carried:
        try:
            key.exercise(one)
        except ValueError as error:
            words = f"cell {number}: the key in its output is damaged ({error}); run the notebook again"
            raise Trouble(words) from error
    return carried


def _is_cell(cell: Any) -> bool:
    return (
        isinstance(cell, dict)
        and isinstance(cell.get("cell_type"), str)
        and isinstance(cell.get("metadata"), dict)
        and isinstance(cell["metadata"].get("tags", []), list)
        and isinstance(cell.get("outputs", []), list)
        and isinstance(_source(cell), str)
    )


def _is_worked(cell: dict[str, Any]) -> bool:
    return WORKED in cell["metadata"].get("tags", [])


def _code(cell: dict[str, Any]) -> str:
    return _source(cell) or "" if cell["cell_type"] == "code" else ""


def _source(cell: dict[str, Any]) -> str | None:
    """The format stores a text as one string or as a list of its lines."""
    source = cell.get("source")
    if isinstance(source, list) and all(isinstance(line, str) for line in source):
        return "".join(source)
    return source if isinstance(source, str) else None
