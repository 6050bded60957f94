"""Makes what the notebooks need in notebooks/.run, each thing once: a stamp says what it was made for."""

from __future__ import annotations

import contextlib
import fcntl
import hashlib
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import needs
import places

KERNEL_VERSION = "0.22.0"
REQUIREMENTS = places.RUNNER / "requirements.txt"
LAB_REQUIREMENTS = places.RUNNER / "requirements-lab.txt"


def all_needed(lab: bool) -> None:
    places.LOGS.mkdir(parents=True, exist_ok=True)
    with alone():
        places.sweep()
        python(REQUIREMENTS)
        if lab:
            python(LAB_REQUIREMENTS)
        kernel()
        specification()
        crates()


@contextlib.contextmanager
def alone() -> Iterator[None]:
    """A second run waits until the first has made everything."""
    with open(places.RUN / "install.lock", "w") as lock:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            print("Waiting for another run that installs.", flush=True)
            fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def python(requirements: Path) -> None:
    stamp = places.VENV / f"made-for-{requirements.stem}"
    wanted = f"{sys.version}\n{digest(REQUIREMENTS)}\n{digest(requirements)}\n"
    if made(stamp, wanted):
        return
    if requirements == REQUIREMENTS:
        step("Python packages that run notebooks")
        shutil.rmtree(places.VENV, ignore_errors=True)
        run([sys.executable, "-m", "venv", str(places.VENV)], "the Python environment could not be made")
    else:
        step("JupyterLab")
    pip = [
        str(places.PYTHON),
        "-m",
        "pip",
        "install",
        "--quiet",
        "--no-cache-dir",
        "--disable-pip-version-check",
    ]
    run([*pip, "-r", str(requirements)], "Python packages could not be fetched; that takes the network, once")
    stamp.write_text(wanted)


def kernel() -> None:
    stamp = places.KERNEL_ROOT / "made-for"
    if made(stamp, KERNEL_VERSION) and places.KERNEL.exists():
        return
    if found := installed_kernel():
        step(f"Kernel: a copy of {found}")
        places.KERNEL.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(found, places.KERNEL)
    else:
        step(f"Kernel: cargo builds evcxr_jupyter {KERNEL_VERSION}, six minutes on two cores")
        build = places.RUN / "kernel-build"
        crate = ["evcxr_jupyter", "--version", KERNEL_VERSION, "--locked"]
        quiet = [] if sys.stderr.isatty() else ["--quiet"]
        run(
            ["cargo", "install", *quiet, *crate, "--force", "--root", str(places.KERNEL_ROOT)],
            "the kernel could not be built; that takes the network, once",
            # The user's settings for his own builds are not for this one.
            {"CARGO_TARGET_DIR": str(build), "CARGO_BUILD_BUILD_DIR": str(build), "RUSTFLAGS": ""},
        )
        shutil.rmtree(build)
    stamp.write_text(KERNEL_VERSION)


def installed_kernel() -> Path | None:
    """Where cargo has installed this very version for the user, it need not be built again."""
    if os.environ.get("SHAFTWORK_KERNEL_OWN"):
        return None
    listed = needs.output("cargo", "install", "--list").splitlines()
    if f"evcxr_jupyter v{KERNEL_VERSION}:" not in listed:
        return None
    homes = [os.environ.get("CARGO_INSTALL_ROOT"), os.environ.get("CARGO_HOME"), Path.home() / ".cargo"]
    paths = [Path(home) / "bin" / "evcxr_jupyter" for home in homes if home]
    return next((path for path in paths if path.exists()), None)


def specification() -> None:
    """What Jupyter knows of the kernel."""
    start = [str(places.PYTHON), "-B", "-E", "-S", str(places.RUNNER / "start.py"), "{connection_file}"]
    text = json.dumps(
        {"argv": start, "display_name": places.KERNEL_TITLE, "language": "rust", "interrupt_mode": "message"},
        indent=1,
    )
    path = places.KERNELSPECS / places.KERNEL_NAME / "kernel.json"
    if not made(path, text):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


def crates() -> None:
    """What the library depends on: the kernel does not ask the network for it."""
    fetch = ["cargo", "fetch", "--quiet", "--locked", "--manifest-path", str(places.ROOT / "Cargo.toml")]
    if subprocess.run([*fetch, "--offline"], cwd=places.NOTEBOOKS, capture_output=True).returncode:
        step("Crates that the library depends on")
        run(fetch, "crates could not be fetched; that takes the network, once")


def run(command: list[str], words: str, more: dict[str, str] | None = None) -> None:
    if subprocess.run(command, cwd=places.NOTEBOOKS, env=os.environ | (more or {})).returncode:
        sys.exit(f"Failed: {words} (see above).")


def step(words: str) -> None:
    print(words, flush=True)


def made(stamp: Path, wanted: str) -> bool:
    return stamp.exists() and stamp.read_text() == wanted


def digest(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()
