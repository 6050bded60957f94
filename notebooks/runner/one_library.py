"""Lets a kernel live with one build of the library, and say so where the library was edited since.

Reason: cargo would build an edited library again, and the kernel would hand variables made by the
old one to the new one. Where the layout of a type has changed, and the kernel does not always see
that, the numbers are wrong without a word. The check stands in one_library.sh, before the compiler.

Off: SHAFTWORK_KERNEL_ANY_LIBRARY=1.
"""

from __future__ import annotations

from pathlib import Path

import places

CHECK = places.RUNNER / "one_library.sh"


def apply(environment: dict[str, str], folder: Path) -> None:
    mark = folder / "library-in-use"
    mark.unlink(missing_ok=True)
    if not environment.get("SHAFTWORK_KERNEL_ANY_LIBRARY"):
        environment["SHAFTWORK_KERNEL_LIBRARY_IN_USE"] = str(mark)
        environment["RUSTC_WRAPPER"] = str(CHECK)
