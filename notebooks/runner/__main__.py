"""First half of notebooks/run: makes what is needed, then goes on in the private Python."""

from __future__ import annotations

import os
import sys

import arguments
import install
import named
import needs
import places


def main() -> None:
    said = arguments.parsed(sys.argv[1:])
    if not (said.lab or said.self_test):
        named.chosen(said.names)
    needs.check()
    needs.standard_library()
    install.all_needed(said.lab)
    if places.builds().parent != places.RUN:
        print(f"The path has a space, which the kernel cannot build in: it builds in {places.builds()}")
    command = [str(places.PYTHON), "-B", str(places.RUNNER / "inside.py"), *sys.argv[1:]]
    sys.stdout.flush()
    os.execve(command[0], command, places.private(dict(os.environ)))


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        sys.exit("\nInterrupted. The next run makes what is missing.")
