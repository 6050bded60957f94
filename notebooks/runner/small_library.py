"""Lets the kernel's code analyser read core, alloc and std only.

Reason: the analyser finds the types of a cell's variables, and reads the sources of the whole standard
library for it at each start. More than half of them are processor intrinsics and test crates. The
folder made here has links to the three crates that the types of a notebook come from; that no
manifest lies in it also spares the analyser a question to cargo. What is lost: completion for the
rest of the library's own crates.

Off: SHAFTWORK_KERNEL_FULL_LIBRARY=1.
"""

from __future__ import annotations

import os
from pathlib import Path

import lean_library
import places
import toolchain

CRATES = ["core", "alloc", "std"]


def apply(environment: dict[str, str]) -> None:
    if environment.get("SHAFTWORK_KERNEL_FULL_LIBRARY") or "RUST_SRC_PATH" in environment:
        return
    library = toolchain.sysroot() / "lib" / "rustlib" / "src" / "rust" / "library"
    if not all((library / crate).is_dir() for crate in CRATES):
        return
    if not environment.get("SHAFTWORK_KERNEL_WHOLE_FILES"):
        environment["RUST_SRC_PATH"] = str(lean_library.made(library, CRATES))
        return
    links = places.builds() / "library"
    links.mkdir(parents=True, exist_ok=True)
    for crate in CRATES:
        link(links / crate, library / crate)
    environment["RUST_SRC_PATH"] = str(links)


def link(path: Path, target: Path) -> None:
    """Another kernel may start at the same time: the link is never absent, and never half made."""
    if not path.is_symlink() or path.readlink() != target:
        fresh = path.with_suffix(f".{os.getpid()}")
        fresh.symlink_to(target)
        fresh.replace(path)
