"""The answer file: lines of `name = number unit  # remark`; a colon does for the equals sign."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

from .files import Trouble, clean, read_text

MOST = 200_000
NUMBER = re.compile(r"[+-]?(?:\d[\d_]*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?")
COMMA = re.compile(r"([+-]?\d+(?:,\d+)+(?:\.\d+)?(?:[eE][+-]?\d+)?)(.*)", re.DOTALL)
COLON = re.compile(r"(.*?):\s*((?:[-+\u2212]?\.?\d|[-+]?(?:nan|inf)).*)?", re.IGNORECASE)
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
        name, text = _parts(content)
        if not name:
            troubles.append((number, f'"{clean(content)}" is no answer; write: name = number unit'))
        else:
            answers.append(Answer(number, name, text))
    if not answers and not troubles:
        raise Trouble(f"{clean(str(path), 200)} has no line with an answer; write: name = number unit")
    return answers, troubles


def _parts(content: str) -> tuple[str, str]:
    """Name and answer of a line; no name where it has none. A name may hold colons: the answer begins with a number."""
    name, equals, text = content.partition("=")
    if not equals:
        match = COLON.fullmatch(content)
        name, text = (match[1], match[2] or "") if match else ("", "")
    return name.strip(), text.strip()


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
