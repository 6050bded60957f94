"""Lets the kernel's code analyser read this library and not the crates that it depends on.

Reason: the analyser finds the types of a cell's variables. For the first one it lists what every trait is
implemented for, in every crate there is, and linear algebra and TOML have far more of that than the
library. No type of theirs is meant to be kept from cell to cell. Of the library it would walk through the
whole folder, the builds in it too; it is told of `src` only. What is lost: completion for those
crates; a variable of such a type needs its type written out.

The analyser takes the cargo of CARGO_HOME, the kernel itself the toolchain's. So the kernel gets a
CARGO_HOME of its own, the user's but for a cargo that tells of packages without the fetched ones
(own_code_cargo.py). It is there too where the measure is off: another path would build all crates again.

Off: SHAFTWORK_KERNEL_ALL_CODE=1.
"""

from __future__ import annotations

import os
import shlex
import shutil
import sys
from pathlib import Path

import places
import small_library

SHARED = ["registry", "git", "config.toml", "config", ".package-cache", ".global-cache"]
FILTER = places.RUNNER / "own_code_cargo.py"
SCRIPT = """#!/bin/sh
CARGO_HOME={home}
export CARGO_HOME
case " $* " in
" metadata "*" --no-deps "*) ;;
" metadata "*) exec {filter} {cargo} "$@" ;;
esac
exec {cargo} "$@"
"""


def apply(environment: dict[str, str]) -> None:
    cargo = shutil.which("cargo", path=environment.get("PATH"))
    theirs = Path(environment.get("CARGO_HOME") or Path.home() / ".cargo")
    if not cargo:
        return
    ours = places.builds() / "cargo-home"
    (ours / "bin").mkdir(parents=True, exist_ok=True)
    for name in SHARED:
        if (theirs / name).exists():
            small_library.link(ours / name, theirs / name)
    script = ours / "bin" / "cargo"
    text = SCRIPT.format(
        home=shlex.quote(str(theirs)),
        filter=shlex.join([sys.executable, "-B", "-E", "-S", str(FILTER)]),
        cargo=shlex.quote(cargo),
    )
    if not script.exists() or script.read_text() != text:
        fresh = script.with_suffix(f".{os.getpid()}")
        fresh.write_text(text)
        fresh.chmod(0o755)
        fresh.replace(script)
    environment["CARGO_HOME"] = str(ours)
