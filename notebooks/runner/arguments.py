"""What may be said on the command line of notebooks/run."""

from __future__ import annotations

import argparse

WORDS = """\
Runs the notebooks through their kernel, each from the start, and refuses any that fails, writes to
stderr, has a cell that did not reach its end, or shows something else than the outputs it is
committed with; so too the exercises, and the text twin of each. Pages for readers without Rust go to out/notebooks.

The first run builds the kernel (six minutes on two cores) and fetches Python packages; all of it
stays in notebooks/.run, which can be deleted at any time.
"""


def parsed(words: list[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="notebooks/run", description=WORDS, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "names", nargs="*", metavar="NAME", help="notebooks, by the beginning of their names (all)"
    )
    parser.add_argument("--accept", action="store_true", help="write the fresh outputs into the notebooks")
    parser.add_argument("--lab", action="store_true", help="open JupyterLab; options for it follow `--`")
    parser.add_argument(
        "--self-test",
        action="store_true",
        help="prove that each kind of failure is refused; with `all` also JupyterLab and a path with a space",
    )
    return parser.parse_args(words)
