"""Starts one kernel: Jupyter calls this file with the connection file and the kernel takes its place.

Each measure that shortens the start has a file of its own, with its reason and the variable that
switches it off. benches/notebook-start measures them.
"""

from __future__ import annotations

import os
import sys

import fetched_crates
import kept_build
import one_library
import own_code
import places
import plain_cells
import small_library
import toolchain


def main(connection: str) -> None:
    environment = places.private(dict(os.environ))
    # Neither the user's own start-up files for this kernel nor his variables may change a notebook.
    environment["EVCXR_CONFIG_DIR"] = str(places.RUN / "kernel-config")
    environment.pop("EVCXR_TMPDIR", None)
    toolchain.apply(environment)
    folder = kept_build.take()
    if folder:
        environment["EVCXR_TMPDIR"] = str(folder / "work")
        plain_cells.apply(folder)
        one_library.apply(environment, folder)
        own_code.apply(environment)
    fetched_crates.apply(environment)
    small_library.apply(environment)
    os.execve(places.KERNEL, [str(places.KERNEL), "--control_file", connection], environment)


if __name__ == "__main__":
    main(sys.argv[1])
