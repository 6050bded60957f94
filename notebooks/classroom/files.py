"""Files of other people: read with limits, written without losing any."""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from pathlib import Path
from typing import Any, Callable


class Trouble(Exception):
    """What stands in the way, in words for whoever called."""


def clean(text: str, most: int = 60) -> str:
    """Text from a file for a message: nothing that could steer a terminal, and not too long."""
    shown = "".join(c if c.isprintable() else "?" for c in text.strip()[: most + 1])
    return shown if len(shown) <= most else shown[: most - 3] + "..."


def read_text(path: Path, most: int) -> str:
    """A text file of at most `most` bytes."""
    name = clean(str(path), 200)
    try:
        if path.is_dir():
            raise Trouble(f"{name} is a folder; name a file")
        with open(path, "rb") as opened:
            # The length that the system states is not trusted: devices and pipes state none.
            data = opened.read(most + 1)
    except (OSError, ValueError) as error:
        raise Trouble(f"{name} cannot be read ({clean(str(getattr(error, 'strerror', None) or error))})") from error
    if len(data) > most:
        raise Trouble(f"{name} is longer than {most // 1000} kB; this is not such a file")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Trouble(f"{name}, line {line}: not UTF-8 text; save the file as UTF-8") from error
    if not text.strip():
        raise Trouble(f"{name} is empty")
    return text


def read_json(path: Path, most: int) -> dict[str, Any]:
    """An object from a JSON file."""
    name = clean(str(path), 200)

    def refuse(word: str) -> float:
        raise ValueError(f"{word} is not a number of JSON")

    text = read_text(path, most)
    try:
        value = json.loads(text, parse_constant=refuse)
    except (ValueError, RecursionError) as error:
        raise Trouble(f"{name} is not JSON ({clean(str(error))})") from error
    if not isinstance(value, dict):
        raise Trouble(f"{name} is not what is expected here: no JSON object")
    return value


def digest(content: Any) -> str:
    """By which a file written here is known to be unchanged since."""
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


def write(path: Path, text: str, unchanged: Callable[[dict[str, Any]], bool]) -> None:
    """Writes a file whole or not at all, and only where nothing is lost.

    What stands there already must be JSON of which `unchanged` says that it was written here and is as it was.
    """
    name = clean(str(path), 200)
    if os.path.lexists(path):
        try:
            ours = unchanged(read_json(path, 50_000_000))
        except Trouble:
            ours = False
        if not ours:
            what = "is there already and is not as it was written here"
            raise Trouble(f"{name} {what}; move it away or name another with -o")
    temporary = None
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name[:100]}.", dir=path.parent)
        with open(handle, "w", encoding="utf-8", newline="\n") as opened:
            opened.write(text)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(temporary, 0o666 & ~mask)
        os.replace(temporary, path)
    except (OSError, ValueError) as error:
        if temporary is not None and os.path.exists(temporary):
            os.unlink(temporary)
        raise Trouble(f"{name} cannot be written ({clean(str(getattr(error, 'strerror', None) or error))})") from error
