"""Read what people type into quantities.

A comma or a point marks decimals (`0,4` is `0.4`). Thousands may be set apart by spaces, or by the mark
that is not the decimal one when both appear (`1,200.5` and `1.200,5` are the same). A single comma before
exactly three digits (`1,200`) means twelve hundred to one reader and one and a fifth to another: it is
asked about, never guessed. A single point is always decimal.
"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from kickover.units.lookup import (
    AmbiguousReadingError,
    OverRangeError,
    QuantityError,
    WrongDimensionError,
    find_unit,
    known_units,
    unit_named,
    unknown_unit,
)
from kickover.units.printing import show
from kickover.units.quantity import Quantity, spaced
from kickover.units.unit_table import UNITS

_LONGEST = 80
_ABOUT = re.compile(r"^(?:about|approx(?:imately|\.)?|around|circa|~|≈)\s*", re.IGNORECASE)
_OVER_RANGE = re.compile(
    r"o\.?l\.?|o/l|open(?: circuit)?|over ?(?:load|range)|infinit[ey]|inf|∞", re.IGNORECASE
)
_LETTER_FOR_POINT = re.compile(r"(\d+)([RkKM])(\d+)")
_NUMBER_ALONE = re.compile(r"[+-]?\d[\d., ]*(?:e[+-]?\d+)?")
_BOTH_READINGS = re.compile(r"(?P<first>[^()]+)\((?P<second>[^()]+)\)")
_MIXING_RATIO = re.compile(r"(?P<one>\d+(?:[.,]\d+)*)\s*(?::|\bto\b)\s*(?P<two>\d+(?:[.,]\d+)*)")
_NUMBER_THEN_UNIT = re.compile(
    r"(?P<sign>[+-]?)\s*"
    r"(?:(?:(?P<whole>\d+)[ -])?(?P<top>\d+)\s?/\s?(?P<bottom>\d+)"
    r"|(?P<plain>\d{1,3}(?: \d{3})+(?:[.,]\d+)?(?!\d)|\d+(?:[.,]\d+)*|[.,]\d+)"
    r"(?P<exponent>[eE][+-]?\d{1,3})?)"
    r"(?P<unit>[^\d].*)?"
)
_VULGAR = {mark: unicodedata.normalize("NFKC", mark).replace("⁄", "/") for mark in "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"}
_RANGE_WORDS = re.compile(r"\s+(?:to|and|through)\s+|\s*(?:…|\.{2,})\s*", re.IGNORECASE)
_RANGE_DASH = re.compile(r"\s*-\s*")
_RANGE_LEAD = re.compile(r"(?:between|from)\s+", re.IGNORECASE)


def parse(text: str, *, default_unit: str | None = None) -> Quantity:
    """Read one quantity.

    `default_unit` is taken for a bare number, and says which dimension is wanted here.
    Understood: `62 psi`, `4.3bar`, `0,4 kΩ`, `4k7`, `1/16 in`, `1 1/2"`, `-5 °C`, `12 N·m`, `7 ft lb`,
    `90ml/min`, `40:1`, `6.2 bar (90 psi)`.
    Raises `AmbiguousReadingError` (asks which), `OverRangeError` (a meter showing OL), `WrongDimensionError`,
    `UnknownUnitError`, and else `QuantityError`.
    """
    wanted = None if default_unit is None else unit_named(default_unit)
    expected = None if wanted is None else wanted.dimension
    cleaned = _ABOUT.sub("", _cleaned(text), count=1)
    if _OVER_RANGE.fullmatch(cleaned):
        raise OverRangeError(f"'{text.strip()}' is no number: over the meter's range, or an open circuit")
    if both := _BOTH_READINGS.fullmatch(cleaned):
        return _agreeing(both["first"], both["second"], default_unit)
    quantity = _read(cleaned, text, expected, default_unit)
    if expected is not None and quantity.dimension != expected:
        raise WrongDimensionError(
            f"'{text.strip()}' is a {spaced(quantity.dimension)}, and a {spaced(expected)} is wanted;"
            f" write it in {_some_units(expected)}"
        )
    return quantity


def parse_stated(text: str) -> Quantity:
    """Read a quantity of any kind that says its unit; a number alone is a ratio. Raises as `parse` does."""
    return parse(text, default_unit="" if _NUMBER_ALONE.fullmatch(text.strip()) else None)


def parse_range(text: str, *, default_unit: str | None = None) -> tuple[Quantity, Quantity]:
    """Read two ends of a range, lower first: `between 60 and 70 psi`, `60-70 psi`, `60 to 70`, `65 ± 5 psi`.

    A unit written once holds for both ends. Raises as `parse` does, and `QuantityError` if there is no range.
    """
    cleaned = _RANGE_LEAD.sub("", _cleaned(text), count=1)
    if "±" in cleaned or "+/-" in cleaned:
        middle, spread = re.split(r"\s*(?:±|\+/-)\s*", cleaned, maxsplit=1)
        return _around(middle, spread, default_unit)
    splits = [*_RANGE_WORDS.finditer(cleaned), *_RANGE_DASH.finditer(cleaned)]
    refused: QuantityError | None = None
    for split in splits:
        low_text, high_text = cleaned[: split.start()], cleaned[split.end() :]
        if not low_text or not high_text:
            continue
        try:
            high = parse(high_text, default_unit=default_unit)
            low = parse(low_text, default_unit=high.unit)
        except QuantityError as error:
            refused = refused or error
        else:
            return (low, high) if low <= high else (high, low)
    raise refused or QuantityError(f"'{text.strip()}' is not a range; write it as '60 to 70 psi'")


def _cleaned(text: str) -> str:
    if len(text) > _LONGEST:
        raise QuantityError(f"a reading of {len(text)} characters is too long; write a number and a unit")
    for mark, fraction in _VULGAR.items():
        text = text.replace(mark, f" {fraction}")
    # `mm²` is kept apart from a digit that belongs to the number: `5 ²` is not fifty-two.
    plain = unicodedata.normalize("NFKC", re.sub(r"(?<=\d)[²³]", r" \g<0>", text))
    for dash in "−–—‐‑‒":
        plain = plain.replace(dash, "-")
    return " ".join(plain.split())


def _read(cleaned: str, text: str, expected: str | None, default_unit: str | None) -> Quantity:
    if letter := _LETTER_FOR_POINT.fullmatch(cleaned):
        prefixed = {"R": "Ω", "k": "kΩ", "K": "kΩ", "M": "MΩ"}[letter[2]]
        return Quantity(float(f"{letter[1]}.{letter[3]}"), prefixed)
    if (ratio := _MIXING_RATIO.fullmatch(cleaned)) and expected in (None, "ratio"):
        return _mixing_ratio(ratio["one"], ratio["two"], text)
    found = _NUMBER_THEN_UNIT.fullmatch(cleaned)
    if found is None:
        example = "'62 psi' or '4,3 bar'" if expected is None else f"a number with {_some_units(expected)}"
        raise QuantityError(f"'{text.strip()}' cannot be read; write {example}")
    value = _value(found, text)
    spelt = (found["unit"] or "").strip()
    if not spelt:
        if default_unit is None:
            raise QuantityError(f"'{text.strip()}' has no unit; add the one that is meant, as in '62 psi'")
        return Quantity(value, default_unit)
    unit = find_unit(spelt, expected)
    if unit is not None and unit.symbol:
        return Quantity(value, unit.symbol)
    raise unknown_unit(spelt, expected)


def _value(found: re.Match[str], text: str) -> float:
    sign = -1 if found["sign"] == "-" else 1
    if found["plain"] is not None:
        return sign * float(_decimal(found["plain"], text) + (found["exponent"] or ""))
    if int(found["bottom"]) == 0:
        raise QuantityError(f"'{text.strip()}' divides by zero; write a fraction such as 1/16")
    return float(sign * (int(found["whole"] or 0) + Fraction(int(found["top"]), int(found["bottom"]))))


def _decimal(written: str, text: str) -> str:
    """Turn a written number into one with a decimal point and no grouping."""
    written = written.replace(" ", "")
    marks = [mark for mark in written if mark in ".,"]
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", written):
        raise AmbiguousReadingError(
            f"'{text.strip()}' can mean {written.replace(',', '')} or {written.replace(',', '.')};"
            f" write {written.replace(',', '')} or {written.replace(',', '.')}"
        )
    if len(marks) <= 1:
        return written.replace(",", ".")
    point = marks[-1] if marks.count(marks[-1]) == 1 else ""
    whole, _, decimals = written.rpartition(point) if point else (written, "", "")
    groups = re.split(r"[.,]", whole)
    separators = {mark for mark in whole if mark in ".,"}
    if len(separators) != 1 or not 1 <= len(groups[0]) <= 3 or any(len(group) != 3 for group in groups[1:]):
        raise QuantityError(f"'{text.strip()}' has commas or points in odd places; write it without grouping")
    return "".join(groups) + ("." + decimals if decimals else "")


def _mixing_ratio(left: str, right: str, text: str) -> Quantity:
    """Read `40:1`, and `1:40` as the same: the trade writes a mixture either way round."""
    first, second = float(_decimal(left, text)), float(_decimal(right, text))
    if 1 not in (first, second):
        raise QuantityError(f"'{text.strip()}' has no 1 in it; write a ratio as 40:1")
    return Quantity(second if first == 1 else first, ":1")


def _agreeing(first: str, second: str, default_unit: str | None) -> Quantity:
    """Read a value with its twin in brackets, which must say the same to within what rounding explains."""
    main = parse(first, default_unit=default_unit)
    twin = parse(second, default_unit=main.unit)
    given, beside = main.value, twin.within(main.unit)
    room = 0.06 * max(abs(given), abs(beside)) + (1 if main.dimension.startswith("temperature") else 0)
    if abs(given - beside) > room:
        raise QuantityError(f"{show(main)} and {show(twin)} are not the same reading; write one of them")
    return main


def _around(middle_text: str, spread_text: str, default_unit: str | None) -> tuple[Quantity, Quantity]:
    if spread_text.endswith("%"):
        middle = parse(middle_text, default_unit=default_unit)
        spread = abs(middle.value) * parse(spread_text).within("")
    else:
        tolerance = parse(spread_text, default_unit=default_unit or _unit_in(middle_text))
        middle = parse(middle_text, default_unit=tolerance.unit)
        spread = tolerance.within(middle.unit) if UNITS[middle.unit].zero == 0 else tolerance.value
    return Quantity(middle.value - spread, middle.unit), Quantity(middle.value + spread, middle.unit)


def _unit_in(text: str) -> str | None:
    try:
        return parse(text).unit
    except QuantityError:
        return None


def _some_units(dimension: str) -> str:
    symbols = known_units(dimension)
    base = symbols[0]
    other = UNITS[base].twin or (symbols[1] if len(symbols) > 1 else base)
    return " or ".join(dict.fromkeys((base or "a bare number", other)))
