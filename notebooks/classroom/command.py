"""What the commands have in common."""

from __future__ import annotations

import io
import sys
from typing import Callable, NoReturn

from .files import Trouble, clean


def run(main: Callable[[], int]) -> NoReturn:
    """Runs a command and ends with its exit code, or with 2 and the reason where something stands in the way."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="replace")
    try:
        sys.exit(main())
    except Trouble as trouble:
        print(clean(str(trouble), 600), file=sys.stderr)
        sys.exit(2)
