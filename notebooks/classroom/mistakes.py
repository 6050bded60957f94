"""The usual mistakes, found by arithmetic: one is named only where putting it right makes the answer right.

Those within a formula (degC in place of K) the key knows: the library has worked out what they lead to.
"""

from __future__ import annotations

from collections.abc import Iterator

from .files import clean
from .key import Exercise, Unit

# Exact by definition: the pound (international agreement, 1959); the horsepower of 550 foot-pounds a second.
POUND = 0.45359237
HORSEPOWER = 550 * 0.3048 * POUND * 9.80665
RAD_PER_S = 30 / 3.141592653589793

# Factor, SI units of the quantities where it happens, and what was mixed up. Units that a quantity itself knows
# need no line here: they come with the key.
FACTORS: tuple[tuple[float, frozenset[str], str], ...] = (
    (
        60.0,
        frozenset({"kg/s", "m3/s", "W", "rad/s", "m/s", "s", "Pa"}),
        "per minute mixed up with per second or per hour",
    ),
    (3600.0, frozenset({"kg/s", "m3/s", "W", "rad/s", "m/s", "s", "kg/J"}), "per hour mixed up with per second"),
    (100.0, frozenset({"", "kg/kg"}), "percent mixed up with a fraction"),
    (2.0, frozenset({"kg/s", "m3/s", "W", "N m", "Pa", "kg/J"}), "a four-stroke cycle takes two revolutions"),
    (RAD_PER_S, frozenset({"rad/s", "W", "N m", "m/s"}), "rpm mixed up with rad/s"),
    (POUND, frozenset({"kg/m3", "kg/J"}), "pounds mixed up with kilograms"),
    (HORSEPOWER / 1000, frozenset({"kg/J"}), "horsepower mixed up with kilowatts"),
)


def mistake(exercise: Exercise, number: float, unit: Unit) -> str | None:
    """The mistake that best explains a wrong answer, if any does."""
    explained = [(si, words) for si, words in _put_right(exercise, number, unit) if exercise.right(si)]
    # Of two that explain it as well, to a tenth of the tolerance, the earlier is the more particular one.
    tenth = exercise.within * abs(exercise.value) / 10
    return min(explained, key=lambda one: round(abs(one[0] - exercise.value) / tenth))[1] if explained else None


def _put_right(exercise: Exercise, number: float, unit: Unit) -> Iterator[tuple[float, str]]:
    """The SI values that an answer would have without one mistake each, the particular ones first."""
    given = unit.si(number)
    for other in exercise.units:
        if other != unit:
            yield other.si(number), f"the number is right {_as(other)}, but it is given {_as(unit)}"
    if exercise.other_zero:
        shift = exercise.other_zero.shift
        barometer = f"the barometer, {abs(shift) / 1000:.4g} kPa"
        taken, mend = ("gauge", "add") if shift > 0 else ("absolute", "subtract")
        yield given + shift, f"this is the {taken} pressure; {mend} {barometer}"
        yield given - shift, f"{barometer}, is in it once too {'often' if shift > 0 else 'little'}"
    for wrong in exercise.mistakes:
        # As far from the answer as this one is from what the mistake leads to.
        yield exercise.value * given / wrong.value, clean(wrong.words, 200)
    si_unit = exercise.units[0].label
    if si_unit == "K":
        yield given - 273.15, "degC turned to K once too often (273.15)"
        yield given + 273.15, "degC taken for K (273.15)"
    for factor, where, words in FACTORS:
        if si_unit in where:
            told = f"{words} (factor {max(factor, 1 / factor):.4g})"
            yield given / factor, told
            yield given * factor, told


def _as(unit: Unit) -> str:
    return f"in {unit.label}" if unit.label else "as a plain number"
