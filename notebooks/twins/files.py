"""Where twins lie: notebooks/NN_topic.ipynb has its twin in notebooks/text/NN_topic.rs, exercises below it."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from .percent import Trouble, cells_of, text

HOME = Path(__file__).resolve().parent.parent


def notebooks(folder: Path = HOME) -> list[Path]:
    """Those that have a twin: not copies for students."""
    every = [*folder.glob("*.ipynb"), *(folder / "exercises").glob("*.ipynb")]
    return sorted(path for path in every if not path.name.endswith(".student.ipynb"))


def chosen(names: list[str], folder: Path) -> list[Path]:
    """All of them, or those whose names begin as given."""
    every = notebooks(folder)
    paths: list[Path] = []
    for name in names:
        found = [path for path in every if path.name.startswith(Path(name).stem)]
        if not found:
            there = ", ".join(path.stem for path in every) or "none"
            raise Trouble(f"{name}: there is no such notebook; there are {there}")
        paths += [path for path in found if path not in paths]
    return paths or every


def twin_of(notebook: Path, folder: Path = HOME) -> Path:
    return (folder / "text" / notebook.relative_to(folder)).with_suffix(".rs")


def load(path: Path) -> dict[str, Any]:
    try:
        notebook = json.loads(path.read_text(encoding="utf-8"))
        sound = notebook["nbformat"] == 4 and isinstance(notebook["metadata"]["kernelspec"]["name"], str)
        for cell in notebook["cells"]:
            sound = sound and isinstance(cell["metadata"], dict) and cell["source"] is not None
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise Trouble(f"{path.name} is not a notebook of format 4 with a kernel: {error!r}") from error
    if not sound:
        raise Trouble(f"{path.name} is not a notebook of format 4 with a kernel")
    return notebook


def fresh(notebook: Path) -> str:
    """The twin as it must be."""
    content = load(notebook)
    try:
        return text(cells_of(content), content["metadata"]["kernelspec"])
    except Trouble as trouble:
        raise Trouble(f"{notebook.name}, {trouble}") from None


def difference(notebook: Path, folder: Path = HOME) -> str | None:
    """How a twin and its notebook part, and what to do."""
    twin, wanted = twin_of(notebook, folder), fresh(notebook)
    found = twin.read_text(encoding="utf-8") if twin.is_file() else ""
    if found == wanted:
        return None
    where = twin.relative_to(folder.parent)
    lines = zip(found.split("\n") + [""], wanted.split("\n") + [""])
    number = next((number for number, (old, new) in enumerate(lines, 1) if old != new), 1)
    what = f"parts from the notebook at line {number}" if found else "is missing"
    name = notebook.stem
    return (
        f"the twin {where} {what}; `notebooks/twin {name}` writes it, "
        f"`notebooks/twin --apply {name}` takes its cells into the notebook"
    )


def write(path: Path, content: str) -> None:
    """All of it or nothing."""
    path.parent.mkdir(parents=True, exist_ok=True)
    new = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        new.write_text(content, encoding="utf-8", newline="\n")
        new.replace(path)
    finally:
        new.unlink(missing_ok=True)


def as_json(notebook: dict[str, Any]) -> str:
    """As the notebook's own library writes it, so that nothing else moves."""
    return json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True) + "\n"
