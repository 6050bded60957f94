"""The answer file: lines of `name = number unit  # remark`."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

from .files import Trouble, clean, read_text
from .key import Unit

MOST = 200_000
NUMBER = re.compile(r"[+-]?(?:\d[\d_]*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
COMMA = re.compile(r"([+-]?\d+(?:,\d+)+(?:\.\d+)?(?:[eE][+-]?\d+)?)(.*)", re.DOTALL)
NOT_FINITE = re.compile(r"[+-]?(?:nan|inf|infinity|n/a)\b", re.IGNORECASE)


@dataclass(frozen=True)
class Answer:
    line: int
    name: str
    text: str


def read(path: Path) -> tuple[list[Answer], list[tuple[int, str]]]:
    """The answers of a file, and what is wrong with lines that are none."""
    answers, troubles = [], []
    for number, line in enumerate(read_text(path, MOST).split("\n"), 1):
        content = line.split("#", 1)[0].strip()
        if not content:
            continue
        name, equals, text = content.partition("=")
        if not equals or not name.strip():
            troubles.append((number, f'"{clean(content)}" is no answer; write: name = number unit'))
        else:
            answers.append(Answer(number, name.strip(), text.strip()))
    if not answers and not troubles:
        raise Trouble(f"{clean(str(path), 200)} has no line with an answer; write: name = number unit")
    return answers, troubles


def split(text: str) -> tuple[float, str]:
    """Number and unit of an answer; ValueError says what is wrong with it."""
    text = text.replace("\u2212", "-")
    if NOT_FINITE.match(text):
        raise ValueError(f'"{clean(text)}" is not a finite number')
    if COMMA.match(text):
        raise ValueError(f'"{clean(text)}" has a comma in its number; write a decimal point, and nothing for thousands')
    match = NUMBER.match(text)
    if not match:
        raise ValueError(f'"{clean(text)}" does not start with a number; write: name = number unit')
    number = float(match.group().replace("_", ""))
    if not math.isfinite(number):
        raise ValueError(f'"{clean(text)}" is not a finite number')
    return number, text[match.end() :].strip()


def readings_of_a_comma(text: str) -> list[str]:
    """What an answer with a comma may have meant: a decimal point, or thousands."""
    match = COMMA.match(text.replace("\u2212", "-"))
    if not match:
        return []
    number, rest = match.groups()
    decimal = [number.replace(",", ".") + rest] if number.count(",") == 1 and "." not in number else []
    return [*decimal, number.replace(",", "") + rest]


def find_unit(units: tuple[Unit, ...], text: str) -> Unit | None:
    """The unit that a text names, in any of its spellings, read as the library reads it."""
    wanted = _plain(text)
    for unit in units:
        if wanted in map(_plain, (unit.label, *unit.aliases)):
            return unit
    # Case is ignored only where nothing matches exactly, and never between m and M: "mPa" is not "MPa".
    loose = [
        unit
        for unit in units
        if any(
            spelling.lower() == wanted.lower() and spelling.startswith("m") == wanted.startswith("m")
            for spelling in map(_plain, (unit.label, *unit.aliases))
        )
    ]
    return loose[0] if len(loose) == 1 else None


def _plain(text: str) -> str:
    """One spelling for the many ways to type a unit."""
    for letter, plain in (("\u00b2", "2"), ("\u00b3", "3"), ("\u00b0", "deg"), ("\u00b5", "u"), ("\u03bc", "u")):
        text = text.replace(letter, plain)
    return re.sub(r"[.\u00b7*^()\s]", "", text)
