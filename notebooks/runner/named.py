"""The notebooks that there are, and those that are meant.

Standard library only, so that a wrong name is told before anything is made.
"""

from __future__ import annotations

import sys
from pathlib import Path

import places


def chosen(names: list[str]) -> list[Path]:
    """All notebooks and exercises, or those whose file names begin as given."""
    every = sorted(places.NOTEBOOKS.glob("[0-9][0-9]_*.ipynb"))
    exercises = sorted((places.NOTEBOOKS / "exercises").glob("*.ipynb"))
    # Copies for students wait for their work.
    every += [path for path in exercises if not path.name.endswith(".student.ipynb")]
    if not every:
        sys.exit(f"notebooks/run: no notebook is in {places.NOTEBOOKS}")
    paths: list[Path] = []
    for name in names:
        found = [path for path in every if path.name.startswith(Path(name).name)]
        if not found:
            there = ", ".join(path.stem for path in every)
            sys.exit(f"notebooks/run: no notebook begins with {name}; there are {there}")
        paths += [path for path in found if path not in paths]
    return paths or every
