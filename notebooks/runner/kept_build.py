"""Gives each kernel a build folder that an earlier kernel left warm, and that no other kernel uses.

Reason: as installed, a kernel compiles the library and all it depends on in a new folder at each
start, a minute and more. Two kernels cannot share a folder, so there are numbered ones. A lock says
which are taken: the kernel and the compilers it starts inherit it, so it is free again once all of
them are gone, however they ended. A new folder begins as a copy of the one that `notebooks/run`
warmed. Cargo itself sees what has changed since: an edited library, another toolchain.

Off: SHAFTWORK_KERNEL_NEW_BUILD=1.
"""

from __future__ import annotations

import fcntl
import itertools
import os
import shutil
from pathlib import Path

import places

KEPT = 3
"""Free folders beyond this number are removed at the next start: 0.15 GB each."""


def take() -> Path | None:
    """A folder of our own until this process and all its children have ended."""
    if os.environ.get("SHAFTWORK_KERNEL_NEW_BUILD"):
        return None
    if given := os.environ.get("SHAFTWORK_KERNEL_BUILD"):
        (Path(given) / "work").mkdir(parents=True)
        return prepared(places.builds(), Path(given))
    base = places.builds()
    for number in itertools.count(1):
        lock = locked(base / f"{number}.lock")
        if lock is not None:
            os.set_inheritable(lock, True)
            break
    sweep(base, beyond=max(number, KEPT))
    return prepared(base, base / str(number))


def locked(path: Path) -> int | None:
    """The open lock file, or nothing if a living kernel holds it."""
    file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        os.close(file)
        return None
    return file


def prepared(base: Path, folder: Path) -> Path:
    # A copy that was cut short bears the other name.
    if not folder.exists():
        unfinished = folder.with_suffix(".new")
        shutil.rmtree(unfinished, ignore_errors=True)
        if (base / "warm").exists():
            shutil.copytree(
                base / "warm", unfinished, symlinks=True, ignore=shutil.ignore_patterns("made-for")
            )
        else:
            (unfinished / "work").mkdir(parents=True)
        unfinished.rename(folder)
    return folder


def sweep(base: Path, beyond: int) -> None:
    """Removes the free folders with a higher number."""
    for path in base.glob("*.lock"):
        if path.stem.isdecimal() and int(path.stem) > beyond:
            lock = locked(path)
            if lock is not None:
                shutil.rmtree(path.with_suffix(""), ignore_errors=True)
                shutil.rmtree(path.with_suffix(".new"), ignore_errors=True)
                os.close(lock)
