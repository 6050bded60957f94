"""The key of an exercise, as the library puts it into a cell's output."""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from .files import Trouble, clean, digest, read_json

OUTPUT = "application/vnd.shaftwork.exercise+json"
MOST = 5_000_000


@dataclass(frozen=True)
class Unit:
    """SI value = number x factor + offset."""

    label: str
    aliases: tuple[str, ...]
    factor: float
    offset: float

    def si(self, number: float) -> float:
        return number * self.factor + self.offset

    @property
    def words(self) -> str:
        return self.label or "a plain number"


@dataclass(frozen=True)
class OtherZero:
    """The same pressure counted from another zero: SI value asked for = SI value given + shift."""

    quantity: str
    shift: float
    units: tuple[Unit, ...]


@dataclass(frozen=True)
class Wrong:
    """What the answer becomes with a mistake, and the mistake in words."""

    value: float
    words: str


@dataclass(frozen=True)
class Exercise:
    name: str
    quantity: str
    value: float
    within: float
    shown: str
    units: tuple[Unit, ...]
    other_zero: OtherZero | None
    mistakes: tuple[Wrong, ...]

    def right(self, si: float) -> bool:
        # A hair more than the tolerance, for the rounding of the factors.
        return math.isfinite(si) and abs(si - self.value) <= self.within * abs(self.value) * (1 + 1e-9)

    @property
    def accepted(self) -> str:
        return ", ".join(unit.words for unit in self.units)

    @property
    def takes(self) -> str:
        """What an answer must look like, in words."""
        if len(self.units) > 1:
            return f"{self.quantity} takes one of: {self.accepted}"
        return f"{self.quantity} {'takes' if self.units[0].label else 'is'} {self.accepted}"


def same_name(name: str) -> str:
    """Names are compared without regard to case and spaces."""
    return " ".join(name.split()).casefold()


def exercise(told: Any) -> Exercise:
    """Reads one exercise; ValueError where it is not one."""
    fields = _object(told)
    other = fields.get("other_zero")
    found = Exercise(
        name=_text(fields, "name"),
        quantity=_text(fields, "quantity"),
        value=_number(fields, "value"),
        within=_number(fields, "within"),
        shown=_text(fields, "shown"),
        units=_units(fields),
        other_zero=None if other is None else _other_zero(_object(other)),
        mistakes=_mistakes(fields),
    )
    if found.value == 0 or not 0 < found.within <= 0.5:
        raise ValueError("value must not be 0, within must be above 0 and at most 0.5")
    return found


def key(exercises: list[dict[str, Any]], notebook: str) -> dict[str, Any]:
    """The content of a key file."""
    return {"shaftwork_key": 1, "notebook": notebook, "exercises": exercises, "sha256": digest(exercises)}


def unchanged(file: dict[str, Any]) -> bool:
    """Whether this is a key as it was written here."""
    return file.get("shaftwork_key") == 1 and file.get("sha256") == digest(file.get("exercises"))


def read(path: Path) -> tuple[str, list[Exercise]]:
    """The notebook's name and the exercises of a key file, which may have been edited by hand."""
    file = read_json(path, MOST)
    name = clean(str(path), 200)
    told = file.get("exercises")
    if file.get("shaftwork_key") != 1 or not isinstance(told, list) or not told:
        raise Trouble(f"{name} is not a key; make one with notebooks/student --key NAME")
    exercises = []
    for number, one in enumerate(told, 1):
        try:
            exercises.append(exercise(one))
        except ValueError as error:
            raise Trouble(f"{name}, exercise {number}: {clean(str(error), 120)}") from error
    if len({same_name(one.name) for one in exercises}) < len(exercises):
        raise Trouble(f"{name} has two exercises of one name")
    return clean(str(file.get("notebook", "")), 200), exercises


def _object(told: Any) -> dict[str, Any]:
    if not isinstance(told, dict):
        raise ValueError("an object is expected")
    return told


def _text(fields: dict[str, Any], field: str) -> str:
    told = fields.get(field)
    if not isinstance(told, str):
        raise ValueError(f"{field} must be a text")
    return told


def _number(fields: dict[str, Any], field: str) -> float:
    told = fields.get(field)
    if isinstance(told, bool) or not isinstance(told, (int, float)):
        raise ValueError(f"{field} must be a number")
    try:
        number = float(told)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise ValueError(f"{field} must be a finite number")
    return number


def _units(fields: dict[str, Any]) -> tuple[Unit, ...]:
    told = fields.get("units")
    if not isinstance(told, list) or not told:
        raise ValueError("units must be a list")
    return tuple(_unit(_object(one)) for one in told)


def _unit(fields: dict[str, Any]) -> Unit:
    aliases = fields.get("aliases", [])
    if not isinstance(aliases, list) or not all(isinstance(alias, str) for alias in aliases):
        raise ValueError("aliases must be a list of texts")
    unit = Unit(_text(fields, "label"), tuple(aliases), _number(fields, "factor"), _number(fields, "offset"))
    if unit.factor <= 0:
        raise ValueError("factor must be above 0")
    return unit


def _other_zero(fields: dict[str, Any]) -> OtherZero:
    return OtherZero(_text(fields, "quantity"), _number(fields, "shift"), _units(fields))


def _mistakes(fields: dict[str, Any]) -> tuple[Wrong, ...]:
    told = fields.get("mistakes", [])
    if not isinstance(told, list):
        raise ValueError("mistakes must be a list")
    found = tuple(Wrong(_number(_object(one), "value"), _text(one, "words")) for one in told)
    if any(one.value == 0 for one in found):
        raise ValueError("value of a mistake must not be 0")
    return found
