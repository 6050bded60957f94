"""Lets the kernel call the toolchain's cargo and rustc themselves.

Reason: where rustup has installed them, those on the path are rustup, which asks anew at each of a start's
thirty calls which toolchain is meant. It is asked once here. The analyser then names the compiler as the
kernel does, and cargo keeps what it knows of it: under two names it asks the compiler again each time.
What is lost: nothing; the kernel holds to the toolchain of its start in any case.

Off: SHAFTWORK_KERNEL_ASK_RUSTUP=1.
"""

from __future__ import annotations

import functools
import os
import subprocess
from pathlib import Path

import places


def apply(environment: dict[str, str]) -> None:
    tools = sysroot() / "bin"
    if environment.get("SHAFTWORK_KERNEL_ASK_RUSTUP"):
        return
    if all(os.access(tools / name, os.X_OK) for name in ["cargo", "rustc"]):
        environment["PATH"] = f"{tools}{os.pathsep}{environment.get('PATH', '')}"
        environment.setdefault("RUSTC", str(tools / "rustc"))


@functools.cache
def sysroot() -> Path:
    question = ["rustc", "--print", "sysroot"]
    answer = subprocess.run(question, cwd=places.NOTEBOOKS, text=True, capture_output=True)
    return Path(answer.stdout.strip())
