"""What must be there before anything is made, and what to do where it is not."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
import sys
from pathlib import Path

import places

RUSTUP = "https://rustup.rs"


def check() -> None:
    """Ends the program where something is missing."""
    if sys.platform == "win32":
        sys.exit("The runner needs Linux or macOS (on Windows: WSL).")
    rust()
    if not shutil.which("cc"):
        sys.exit("A C linker is missing (`cc`): install gcc or clang, Rust links with it.")
    if not all(importlib.util.find_spec(name) for name in ("venv", "ensurepip")):
        sys.exit(f"{sys.executable} has no venv: on Debian and its like, install python3-venv.")
    space()


def rust() -> None:
    for tool in ("rustc", "cargo"):
        if not shutil.which(tool):
            sys.exit(f"Rust is missing (`{tool}` is not on the path): {RUSTUP}")
    manifest = (places.ROOT / "Cargo.toml").read_text()
    wanted = re.search(r'^rust-version = "([\d.]+)"', manifest, re.MULTILINE)
    found = re.search(r"rustc ([\d.]+)", output("rustc", "--version"))
    if wanted and found and version(found[1]) < version(wanted[1]):
        sys.exit(f"Rust {wanted[1]} or newer is needed, `rustc` is {found[1]}: rustup update ({RUSTUP})")
    if not found:
        sys.exit(f"`rustc --version` does not work here: {output('rustc', '--version').strip()}")


def standard_library() -> None:
    """The kernel learns the types of variables from the sources of the standard library."""
    library = f"{output('rustc', '--print', 'sysroot').strip()}/lib/rustlib/src/rust/library/core"
    if Path(library).exists():
        return
    if not shutil.which("rustup"):
        sys.exit(f"The sources of Rust's standard library are missing ({library}): install rust-src.")
    print(
        "Adding rust-src to the Rust toolchain: the kernel reads the standard library's sources.", flush=True
    )
    if subprocess.run(["rustup", "component", "add", "rust-src"], cwd=places.NOTEBOOKS).returncode:
        sys.exit("rust-src could not be added (see above); it is fetched once, over the network.")


def space() -> None:
    wanted = 1.0 if places.KERNEL.exists() else 3.0
    free = shutil.disk_usage(places.NOTEBOOKS).free / 1e9
    if free < wanted:
        sys.exit(f"{wanted:.0f} GB of disk are needed in {places.NOTEBOOKS}, {free:.1f} GB are free.")


def output(*command: str) -> str:
    """From the notebooks' folder: rustup may hold another toolchain for it."""
    done = subprocess.run(command, cwd=places.NOTEBOOKS, text=True, capture_output=True)
    return done.stdout or done.stderr


def version(text: str) -> tuple[int, ...]:
    return tuple(map(int, text.split(".")))
