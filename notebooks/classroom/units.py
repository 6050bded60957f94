"""Units as people write them, found among those that a key lists."""

from __future__ import annotations

import re
from collections.abc import Iterable

from .key import Unit

SIGNS = (("\u00b2", "2"), ("\u00b3", "3"), ("\u00b0", "deg "), ("\u00ba", "deg "), ("\u00b5", "u"), ("\u03bc", "u"))
WORDS = {
    spelling: short
    for short, spellings in {
        "abs": "absolute",
        "s": "sec secs second seconds",
        "min": "mins minute minutes",
        "h": "hr hrs hour hours",
        "lb": "lbs lbm pound pounds",
        "kg": "kgs kilogram kilograms",
        "g": "gram grams",
        "L": "litre litres liter liters",
        "deg": "degree degrees",
        "degC": "celsius",
        "degF": "fahrenheit",
        "K": "kelvin kelvins",
        "%": "percent",
        "/": "per",
    }.items()
    for spelling in spellings.split()
}
RATIO = re.compile(r":1|to1")
"""As a ratio is written: 1.86:1."""
SECONDS = {"s": 1.0, "min": 60.0, "h": 3600.0}


def find_unit(units: tuple[Unit, ...], text: str) -> Unit | None:
    """The unit that a text names, in any of its spellings."""
    wanted = _plain(text)
    found = _listed(units, wanted) or _per_time(units, wanted)
    if not found and wanted.lower().endswith("abs") and _counts_from_vacuum(units):
        found = _listed(units, wanted[:-3])
    if not found and RATIO.fullmatch(wanted):
        found = _listed(units, "")
    return found


def with_zero_named(units: tuple[Unit, ...], text: str) -> Unit | None:
    """The unit of a pressure that is meant by one that does not say from which zero it counts, such as "psi"."""
    named = (find_unit(units, f"{text} {zero}") for zero in ("abs", "gauge"))
    return next(filter(None, named), None) if text else None


def _listed(units: Iterable[Unit], wanted: str) -> Unit | None:
    spellings = [(unit, _plain(spelling)) for unit in units for spelling in (unit.label, *unit.aliases)]
    exact = next((unit for unit, spelling in spellings if spelling == wanted), None)
    if exact:
        return exact
    # Case is ignored only where nothing matches exactly, and never between m and M: "mPa" is not "MPa".
    loose = {
        unit
        for unit, spelling in spellings
        if spelling.lower() == wanted.lower() and spelling.startswith("m") == wanted.startswith("m")
    }
    return loose.pop() if len(loose) == 1 else None


def _per_time(units: tuple[Unit, ...], wanted: str) -> Unit | None:
    """A flow per second, minute or hour, of which another is listed: kg/min where kg/s is."""
    amount, _, time = wanted.rpartition("/")
    time = time.lower()
    if not amount or time not in SECONDS:
        return None
    for other, seconds in SECONDS.items():
        unit = _listed(units, f"{amount}/{other}")
        if unit:
            return Unit(f"{amount}/{time}", (), unit.factor * seconds / SECONDS[time], 0.0)
    return None


def _counts_from_vacuum(units: tuple[Unit, ...]) -> bool:
    return any(alias.endswith(" abs") for unit in units for alias in unit.aliases)


def _plain(text: str) -> str:
    """One spelling for the many ways to type a unit."""
    for letter, plain in SIGNS:
        text = text.replace(letter, plain)
    text = re.sub(r"[A-Za-z]+", lambda word: WORDS.get(word[0].lower(), word[0]), text)
    return re.sub(r"[.\u00b7*^()\s]", "", text).replace("degdeg", "deg")
