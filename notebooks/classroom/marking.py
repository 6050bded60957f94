"""Answers held against a key."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass

from .answers import Answer, readings_of_a_comma, split
from .files import clean
from .key import Exercise, OtherZero, Unit, same_name
from .mistakes import mistake
from .units import find_unit, with_zero_named


@dataclass(frozen=True)
class Mark:
    line: int | None
    name: str
    right: bool
    words: str

    def __str__(self) -> str:
        place = "no line" if self.line is None else f"line {self.line}"
        return f"{place:>9}  {self.name}: {self.words}"


def mark(exercises: list[Exercise], answers: list[Answer]) -> list[Mark]:
    """A mark for every answer, in the order of the file, then one for every exercise without an answer."""
    asked = {same_name(exercise.name): exercise for exercise in exercises}
    answered: dict[str, int] = {}
    marks = []
    for answer in answers:
        name = same_name(answer.name)
        if name not in asked:
            marks.append(Mark(answer.line, f'"{clean(answer.name)}"', False, _unknown(name, asked)))
        elif name in answered:
            words = f"answered on line {answered[name]} already, which is the one that counts; keep one of them"
            marks.append(Mark(answer.line, asked[name].name, False, words))
        else:
            answered[name] = answer.line
            right, words = _judge(asked[name], answer.text)
            marks.append(Mark(answer.line, asked[name].name, right, words))
    marks += [Mark(None, one.name, False, "missing") for name, one in asked.items() if name not in answered]
    return marks


def _unknown(name: str, asked: dict[str, Exercise]) -> str:
    near = difflib.get_close_matches(name[:200], asked, n=1, cutoff=0.5)
    if near:
        return f'no exercise of this name; "{asked[near[0]].name}" is meant?'
    return "no exercise of this name; there are: " + ", ".join(one.name for one in asked.values())


def _judge(exercise: Exercise, text: str) -> tuple[bool, str]:
    if not text:
        return False, "missing"
    try:
        number, unit_text = split(text)
    except ValueError as error:
        return False, f"wrong: {error}{_meant(exercise, text)}"
    unit = find_unit(exercise.units, unit_text)
    if unit is None:
        return False, f"wrong: {_unit_words(exercise, number, unit_text)}"
    if exercise.right(unit.si(number)):
        return True, "right"
    why = mistake(exercise, number, unit)
    return False, f"wrong, {_off(exercise, unit.si(number))}" + (f": {why}" if why else "")


def _meant(exercise: Exercise, text: str) -> str:
    """The reading of a decimal comma that would be right."""
    for reading in readings_of_a_comma(text):
        try:
            number, unit_text = split(reading)
        except ValueError:
            continue
        unit = find_unit(exercise.units, unit_text)
        if unit and exercise.right(unit.si(number)):
            return f'; "{clean(reading)}" would be right'
    return ""


def _unit_words(exercise: Exercise, number: float, text: str) -> str:
    if re.match(r"\.?\d", text):
        return f'a space or a second point inside the number before "{clean(text)}"'
    other = exercise.other_zero
    unit = find_unit(other.units, text) if other else None
    if other and unit:
        if exercise.right(unit.si(number) + other.shift):
            return _other_zero_words(exercise, other)
        if exercise.right(unit.si(number)):
            made = f'"{clean(text)}" makes this {other.quantity}'
            return f"{made}, and {exercise.quantity} is asked for; {exercise.takes}"
        return f'"{clean(text)}" is a unit of {other.quantity}; {exercise.takes}'
    if own := with_zero_named(exercise.units, text):
        return _without_zero(exercise, number, text, own)
    return f'unit "{clean(text)}" not understood; {exercise.takes}' if text else f"no unit; {exercise.takes}"


def _without_zero(exercise: Exercise, number: float, text: str, own: Unit) -> str:
    """Words for a pressure in a unit such as psi, which is `own` where it is counted as the exercise asks."""
    words = f'"{clean(text)}" says neither absolute nor gauge'
    other = exercise.other_zero
    counted_otherwise = with_zero_named(other.units, text) if other else None
    if exercise.right(own.si(number)):
        return f'{words}; "{number:.10g} {own.label}" would be right'
    if other and counted_otherwise and exercise.right(counted_otherwise.si(number) + other.shift):
        return f"{words}; {_other_zero_words(exercise, other)}"
    return f"{words}; write {own.label} for {exercise.quantity}"


def _other_zero_words(exercise: Exercise, other: OtherZero) -> str:
    mend = "add" if other.shift > 0 else "subtract"
    barometer = f"the barometer, {abs(other.shift) / 1000:.4g} kPa"
    return f"right as {other.quantity}, but {exercise.quantity} is asked for; {mend} {barometer}"


def _off(exercise: Exercise, si: float) -> str:
    """How far off an answer is."""
    difference = si - exercise.value
    if any(unit.offset for unit in exercise.units):
        return f"{abs(difference):.3g} {exercise.units[0].label} too {'high' if difference > 0 else 'low'}"
    ratio = si / exercise.value
    if ratio <= 0:
        return "zero" if ratio == 0 else "of the wrong sign"
    if 0.5 < ratio < 2:
        return f"{100 * abs(ratio - 1):.3g} % too {'large' if ratio > 1 else 'small'}"
    return f"{max(ratio, 1 / ratio):.4g} times too {'large' if ratio > 1 else 'small'}"
