"""Copies the standard library for the kernel's code analyser, without what tells it no type.

Reason: half of the text is comments, and inside the macros that define the integers each is read a dozen
times. Much of the rest are insides of operating systems, and arithmetic written out by macros for numbers
that no notebook has. The copy is made once for each toolchain, in a few seconds. What is lost: the words
shown for an item of the standard library on Shift+Tab; a variable of a type that is left out (network
addresses, C strings, `NonZero`, `Wrapping`, `Saturating`) needs its type written out.

Off: SHAFTWORK_KERNEL_WHOLE_FILES=1.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import shutil
import time
from pathlib import Path

import places

LEFT_OUT = """
    core/num/flt2dec core/num/bignum.rs core/num/diy_float.rs
    core/num/wrapping.rs core/num/saturating.rs core/num/nonzero.rs core/num/f16.rs core/num/f128.rs
    core/unicode/unicode_data.rs core/ffi core/net alloc/ffi alloc/wtf8
    std/num/f16.rs std/num/f128.rs std/os std/sys std/net std/ffi/c_str.rs std/backtrace.rs
""".split()
"""Files and folders whose items no notebook names. The analyser passes over a module that is not there."""
TESTS = {"tests", "tests.rs", "benches"}

TOKEN = re.compile(
    r"""
    (?P<line>//[^\n]*) | (?P<block>/\*)
    | \b[bc]?r(?P<hash>\#*)".*?"(?P=hash)               # a raw string
    | "(?:[^"\\]|\\.)*"
    | '(?:\\(?:x..|u\{[^}]*\}|.)|[^\\'\n])'             # a character; a lifetime has no second mark
    """,
    re.VERBOSE | re.DOTALL,
)
EDGE = re.compile(r"/\*|\*/")
EMPTY = re.compile(r"\n\s*(?=\n)")


def made(library: Path, crates: list[str]) -> Path:
    """The copy for this toolchain; another toolchain at the same path has another mark."""
    mark = hashlib.sha256(Path(__file__).read_bytes())
    for path in sorted([library, *library.parents[3].glob("*"), library / "core" / "src" / "lib.rs"]):
        mark.update(f"{path} {path.stat().st_mtime_ns}\n".encode())
    folder = places.builds() / f"library-{mark.hexdigest()[:12]}"
    if not folder.exists():
        fresh = folder.with_suffix(f".{os.getpid()}")
        for crate in crates:
            copy(library / crate / "src", fresh / crate / "src", crate)
        try:
            fresh.rename(folder)
        except OSError:  # Another kernel that started at the same time was faster.
            shutil.rmtree(fresh)
    os.utime(folder)
    sweep()
    return folder


def sweep() -> None:
    """Removes copies that no kernel has asked for in long, whole or cut short. Another kernel may do the same."""
    for old in places.builds().glob("library-*"):
        with contextlib.suppress(FileNotFoundError):
            if time.time() - old.stat().st_mtime > places.FORGOTTEN:
                # Under its own name a copy is whole.
                gone = old.with_suffix(f".{os.getpid()}")
                old.rename(gone)
                shutil.rmtree(gone, ignore_errors=True)


def copy(source: Path, target: Path, crate: str) -> None:
    for path in source.rglob("*.rs"):
        place = path.relative_to(source)
        names = {f"{crate}/{above}" for above in [place, *place.parents]}
        if names & set(LEFT_OUT) or TESTS & set(place.parts):
            continue
        (target / place).parent.mkdir(parents=True, exist_ok=True)
        (target / place).write_text(without_comments(path.read_text(encoding="utf-8")), encoding="utf-8")


def without_comments(text: str) -> str:
    kept = []
    at = 0
    while token := TOKEN.search(text, at):
        if token["line"] is None and token["block"] is None:
            kept.append(text[at : token.end()])
            at = token.end()
            continue
        kept.append(text[at : token.start()])
        at = token.end()
        depth = 1 if token["block"] else 0
        while depth and (edge := EDGE.search(text, at)):
            depth += 1 if edge[0] == "/*" else -1
            at = edge.end()
        kept.append(" ")
    kept.append(text[at:])
    return EMPTY.sub("", "".join(kept))
