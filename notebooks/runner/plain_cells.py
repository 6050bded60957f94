"""Compiles the text of a cell without optimisation, the library and its dependencies with it.

Reason: a cell calls the library and shows a result; optimising it takes longer than running it.
Cells then compile in half the time. The kernel's command `:opt` acts on the library alone.

Off: SHAFTWORK_KERNEL_OPTIMISED_CELLS=1.
"""

from __future__ import annotations

import os
from pathlib import Path

# The kernel calls the package it makes of a cell `ctx`. Cargo reads this file from the folder above.
SETTINGS = """[profile.dev.package.ctx]
opt-level = 0
"""


def apply(folder: Path) -> None:
    settings = folder / ".cargo" / "config.toml"
    if os.environ.get("SHAFTWORK_KERNEL_OPTIMISED_CELLS"):
        settings.unlink(missing_ok=True)
    else:
        settings.parent.mkdir(exist_ok=True)
        settings.write_text(SETTINGS)
