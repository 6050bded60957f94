"""Makes the build folder that new ones are copies of: the library compiled, for running and for checking."""

from __future__ import annotations

import shutil

import files
import install
import kept_build
import named
import needs
import places
from failure import Failure
from session import Kernel

LIMIT = 1200.0
WRONG = "let wrong = missing();"
"""A variable without a type: the kernel then asks cargo to check, which is a compilation of its own."""


def up() -> None:
    first = files.code_cells(files.read(named.chosen([])[0]))[0].source
    folder = places.builds() / "warm"
    stamp = folder / "made-for"
    made_for = [
        needs.output("rustc", "-vV"),
        install.KERNEL_VERSION,
        install.digest(places.ROOT / "Cargo.lock"),
        str(places.builds() / "cargo-home"),
        first,
    ]
    wanted = "\n".join(made_for)
    with install.alone():
        if install.made(stamp, wanted):
            return
        install.step("The library, compiled for the notebooks: about a minute on two cores")
        fresh = folder.with_suffix(".new")
        shutil.rmtree(fresh, ignore_errors=True)
        with Kernel(places.LOGS / "warm.log", {"SHAFTWORK_KERNEL_BUILD": str(fresh)}) as kernel:
            for output in kernel.run(first, LIMIT).outputs:
                words = output.get("evalue") or output.get("text") or ""
                raise Failure("the first cell", "compile error", f"{words}\n{kernel.words()}")
            kernel.run(WRONG, LIMIT)
        (fresh / "made-for").write_text(wanted)
        shutil.rmtree(folder, ignore_errors=True)
        fresh.rename(folder)
        # What was made from the old one is not worth keeping.
        kept_build.sweep(places.builds(), beyond=0)
