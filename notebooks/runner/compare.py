"""Whether fresh outputs say what the committed ones say."""

from __future__ import annotations

import json
import math
import re

from nbformat import NotebookNode

TOLERANCE = 1e-6
"""Relative. Another machine's mathematical functions may move the last of many printed digits; a number
printed with few digits has to be the same."""

NUMBER = re.compile(r"(\d+(?:\.\d+)?(?:[eE][-+]?\d+)?)")


def difference(committed: list[NotebookNode], fresh: list[NotebookNode]) -> str | None:
    """What has changed first, in words."""
    before, now = [list(map(kind, outputs)) for outputs in (committed, fresh)]
    if before != now:
        return f"outputs were {words(before)}, now they are {words(now)}"
    for old, new in zip(committed, fresh):
        # Plain text, which sorts last, reads best.
        for name, text in sorted(texts(new).items(), reverse=True):
            if change := change_of_text(texts(old)[name], text):
                return f"{name}: {change}"
    return None


def not_a_number(outputs: list[NotebookNode]) -> str | None:
    """A line that shows a number which is none: it would agree with itself for ever."""
    for output in outputs:
        text = texts(output).get("text/plain", "") or texts(output).get("stdout", "")
        for line in text.splitlines():
            if re.search(r"\b(NaN|inf)\b", line):
                return line.strip()
    return None


def kind(output: NotebookNode) -> str:
    return f"{output.output_type} ({', '.join(sorted(texts(output)))})"


def texts(output: NotebookNode) -> dict[str, str]:
    """The text under each MIME type, or of the stream under its name."""
    if output.output_type == "stream":
        return {output.name: output.text}
    if output.output_type == "error":
        return {"error": output.evalue}
    return {
        name: text if isinstance(text, str) else json.dumps(text, sort_keys=True)
        for name, text in output.data.items()
    }


def words(kinds: list[str]) -> str:
    return ", ".join(kinds) or "none"


def change_of_text(old: str, new: str) -> str | None:
    old_lines, new_lines = old.strip("\n").split("\n"), new.strip("\n").split("\n")
    for before, now in zip(old_lines, new_lines):
        if not same_line(before, now):
            return f"`{short(before, now)}` is now `{short(now, before)}`"
    if len(old_lines) != len(new_lines):
        return f"{len(old_lines)} lines are now {len(new_lines)}"
    return None


def same_line(old: str, new: str) -> bool:
    before, now = NUMBER.split(old), NUMBER.split(new)
    # Numbers stand at the odd places.
    return len(before) == len(now) and all(
        a == b or (index % 2 == 1 and math.isclose(float(a), float(b), rel_tol=TOLERANCE, abs_tol=0.0))
        for index, (a, b) in enumerate(zip(before, now))
    )


def short(text: str, other: str) -> str:
    """The text, or of a long one the part around the first letter that differs."""
    if len(text) <= 120:
        return text.strip()
    pairs = zip(text, other)
    first = next((index for index, (a, b) in enumerate(pairs) if a != b), min(len(text), len(other)))
    begin = max(0, first - 40)
    return f"...{text[begin : first + 40]}..."
