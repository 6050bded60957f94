"""Where things are. What is made lies in one folder that git ignores; the user's home stays as it is."""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

RUNNER = Path(__file__).resolve().parent
NOTEBOOKS = RUNNER.parent
ROOT = NOTEBOOKS.parent
PAGES = ROOT / "out" / "notebooks"

RUN = NOTEBOOKS / ".run"
LOGS = RUN / "logs"
VENV = RUN / "venv"
PYTHON = VENV / "bin" / "python"
KERNEL_ROOT = RUN / "kernel"
KERNEL = KERNEL_ROOT / "bin" / "evcxr_jupyter"
KERNELSPECS = VENV / "share" / "jupyter" / "kernels"

# Not `rust`: the kernel rewrites a specification of that name.
KERNEL_NAME = "shaftwork"
KERNEL_TITLE = "Rust (shaftwork)"


BUILDS_FOR = "builds-for"
"""In a build folder outside: the path of the copy of the project that it is for."""
FORGOTTEN = 7 * 86400
"""Seconds after which a file that a kernel left behind is removed."""


def builds() -> Path:
    """Where the kernels build. The kernel cannot work in a folder with a space in its path."""
    inside = RUN / "builds"
    if " " not in str(inside):
        inside.mkdir(parents=True, exist_ok=True)
        return inside
    name = f"shaftwork-{os.getuid()}-{hashlib.sha256(str(ROOT).encode()).hexdigest()[:12]}"
    outside = Path(tempfile.gettempdir()).resolve() / name
    if " " in str(outside):
        sys.exit(
            f"Both {RUN} and {outside.parent} have a space in their path; TMPDIR=... names another place."
        )
    outside.mkdir(mode=0o700, exist_ok=True)
    if outside.is_symlink() or outside.stat().st_uid != os.getuid():
        sys.exit(f"{outside} belongs to someone else; TMPDIR=... names another place.")
    (outside / BUILDS_FOR).write_text(str(ROOT))
    return outside


def sweep() -> None:
    """Removes build folders outside whose copy of the project is gone, and connection files of ended kernels."""
    for told in Path(tempfile.gettempdir()).resolve().glob(f"shaftwork-{os.getuid()}-*/{BUILDS_FOR}"):
        ours = not told.parent.is_symlink() and told.parent.stat().st_uid == os.getuid()
        if ours and not Path(told.read_text()).exists():
            shutil.rmtree(told.parent, ignore_errors=True)
    for connection in (RUN / "jupyter" / "runtime").glob("*"):
        if connection.is_file() and time.time() - connection.stat().st_mtime > FORGOTTEN:
            connection.unlink(missing_ok=True)


def private(environment: dict[str, str]) -> dict[str, str]:
    """The environment with all that Jupyter and the kernel would look up or leave in the user's home moved."""
    jupyter = RUN / "jupyter"
    return environment | {
        "JUPYTER_CONFIG_DIR": str(jupyter / "config"),
        "JUPYTER_DATA_DIR": str(jupyter / "data"),
        "JUPYTER_RUNTIME_DIR": str(jupyter / "runtime"),
        "JUPYTER_PATH": str(VENV / "share" / "jupyter"),
        "IPYTHONDIR": str(jupyter / "ipython"),
        "PYTHONDONTWRITEBYTECODE": "1",
    }
