"""Look up units by the way they are written, and the typed errors of everything about readings."""

from __future__ import annotations

import re
import unicodedata

from kickover.core.problem import KickoverError
from kickover.units.unit_table import UNITS, Unit


class QuantityError(KickoverError):
    """A reading that cannot be used as it stands; the text says what was read and what would do."""


class UnknownUnitError(QuantityError):
    """A unit that neither the table nor the units library knows."""


class WrongDimensionError(QuantityError):
    """A reading of one kind where another kind is wanted, such as volts for a pressure."""


class AmbiguousReadingError(QuantityError):
    """A reading with two fair meanings; the text asks which."""


class OverRangeError(QuantityError):
    """The meter shows no number: over its range, or the circuit is open."""


def dimensions() -> tuple[str, ...]:
    """Name every dimension that readings can have, such as `pressure` or `engine-speed`."""
    return tuple(dict.fromkeys(unit.dimension for unit in UNITS.values()))


def known_units(dimension: str) -> tuple[str, ...]:
    """List the symbols of a dimension's units, its base unit first.

    Raises `QuantityError` for a dimension that does not exist.
    """
    symbols = tuple(unit.symbol for unit in UNITS.values() if unit.dimension == dimension)
    if not symbols:
        raise QuantityError(f"there is no dimension '{dimension}'; there are {', '.join(dimensions())}")
    return symbols


def dimension_of(unit: str) -> str:
    """Name the dimension of a unit, however it is spelt. Raises `UnknownUnitError`."""
    return unit_named(unit).dimension


def spelling_key(text: str) -> str:
    """Reduce a written unit to the form the table uses: no spaces, dots or hyphens; `u` for micro."""
    plain = unicodedata.normalize("NFKC", text).replace("μ", "u").replace("º", "°")
    words = plain.split()
    plain = "".join("/" if word.lower() == "per" else word for word in words)
    for mark in ".·⋅∙•*^_-−–×":
        plain = plain.replace(mark, "")
    for degree in ("degrees", "degree", "Degrees", "Degree", "°"):
        plain = plain.replace(degree, "deg")
    return _PER_TIME.sub(lambda found: found[0][:2] if found[1][0] in "shSH" else "/min", plain)


_PER_TIME = re.compile(r"/(minutes?|mins?|seconds?|secs?|hours?|hrs?)$", re.IGNORECASE)
# Lower and upper case M stand a thousand million apart in these, so their case is never waved through.
_CASE_MATTERS = frozenset({"resistance", "voltage", "current", "capacitance"})


def _index() -> tuple[dict[str, Unit], dict[str, list[Unit]], dict[tuple[str, str], Unit]]:
    exact: dict[str, Unit] = {}
    folded: dict[str, list[Unit]] = {}
    spoken: dict[tuple[str, str], Unit] = {}
    for unit in UNITS.values():
        for spelling in (spelling_key(unit.symbol), *unit.spellings):
            if not spelling:
                continue
            exact.setdefault(spelling, unit)
            found = folded.setdefault(spelling.lower(), [])
            strict = unit.dimension in _CASE_MATTERS and unit.symbol[0] in "mM"
            if unit not in found and not (strict and len(spelling) <= len("mohms")):
                found.append(unit)
        for spelling in unit.spoken:
            spoken[unit.dimension, spelling] = unit
    return exact, folded, spoken


_EXACT, _FOLDED, _SPOKEN = _index()


def find_unit(text: str, expected: str | None = None) -> Unit | None:
    """Find the unit that `text` spells, or None.

    `expected` is the dimension wanted here, if known: it settles spellings with several meanings
    ("deg" of a timing angle, "lb" of a compression reading).
    Raises `AmbiguousReadingError` if only the case of the letters could tell two units apart.
    """
    key = spelling_key(text)
    if not key:
        return UNITS[""]
    if expected is not None and (expected, key) in _SPOKEN:
        return _SPOKEN[expected, key]
    if key in _EXACT:
        return _EXACT[key]
    candidates = _FOLDED.get(key.lower(), [])
    if expected is not None and len(candidates) > 1:
        candidates = [unit for unit in candidates if unit.dimension == expected] or candidates
    if len(candidates) > 1:
        names = " or ".join(unit.symbol for unit in candidates)
        raise AmbiguousReadingError(f"the unit '{text.strip()}' could be {names}; write it in full")
    return candidates[0] if candidates else None


def unit_named(text: str) -> Unit:
    """Give the unit that `text` spells. Raises `UnknownUnitError` with what would be understood."""
    unit = UNITS.get(text) or find_unit(text)
    if unit is None:
        raise unknown_unit(text)
    return unit


def unknown_unit(text: str, expected: str | None = None) -> UnknownUnitError:
    """Make the error for a unit nobody knows, offering those of the expected dimension or the close ones."""
    if expected is None:
        wanted = "write one such as bar, psi, Ω, kΩ, V, mm, in, ml, °C, rpm or N·m"
    else:
        choices = ", ".join(symbol or "a bare number" for symbol in known_units(expected))
        wanted = f"for {expected.replace('-', ' ')} write {choices}"
    return UnknownUnitError(f"the unit '{text.strip()}' is not known; {wanted}")
