"""From what a person typed to an entry: a choice, a reading with its unit, a range, and how sure they are.

Nothing is guessed silently: what cannot be is questioned with a `MisreadError`, whose text says what would be
understood.
"""

from __future__ import annotations

import re

from kickover.library.model import Check, CheckKind, Reading
from kickover.library.nearest import nearest
from kickover.problem import KickoverError
from kickover.quantity import QuantityError, parse, parse_range, show
from kickover.reason.answers import Sureness
from kickover.walk.entries import Answered, Measured

_SURENESS = {
    "sure": Sureness.SURE,
    "certain": Sureness.SURE,
    "fairly": Sureness.FAIRLY,
    "fairly sure": Sureness.FAIRLY,
    "think so": Sureness.FAIRLY,
    "guess": Sureness.GUESS,
    "a guess": Sureness.GUESS,
    "not sure": Sureness.GUESS,
    "maybe": Sureness.GUESS,
}
_YES = {"y", "yes", "yeah", "yep", "true"}
_NO = {"n", "no", "nope", "false"}
_RANGE = re.compile(r"\bto\b|\bbetween\b|\band\b|\d\s*[-–…]\s*\d|\.\.|±")


class MisreadError(KickoverError):
    """An answer that is not understood, or that cannot be."""


def interpret(check: Check, text: str, state: str = "") -> Answered | Measured:
    """Read an answer to `check`. Raises MisreadError with what would be understood."""
    said, sureness = _split_sureness(text)
    if not said:
        raise MisreadError("nothing was answered; pick one of the choices, or skip")
    if check.reading is not None:
        return _reading(check, check.reading, said, sureness, state)
    return Answered(check.id, _choice(check, said), sureness, state)


def _split_sureness(text: str) -> tuple[str, Sureness]:
    said = " ".join(text.strip().lower().split())
    for mark in ("~", ",", "?"):
        head, found, tail = said.rpartition(mark)
        if found and tail.strip() in _SURENESS:
            return head.strip(), _SURENESS[tail.strip()]
        if found and mark == "?" and not tail.strip():
            return head.strip(), Sureness.GUESS
    for words, sureness in _SURENESS.items():
        if said.endswith(f" {words}"):
            return said.removesuffix(words).strip(), sureness
    return said, Sureness.SURE


def _choice(check: Check, said: str) -> str:
    ids = [finding.id for finding in check.findings]
    if said.isdecimal():
        number = int(said)
        if 1 <= number <= len(ids):
            return ids[number - 1]
        raise MisreadError(f"there is no choice {number}; the choices are 1 to {len(ids)}")
    if set(ids) == {"yes", "no"}:
        if said in _YES:
            return "yes"
        if said in _NO:
            return "no"
    exact = [
        finding.id
        for finding in check.findings
        if said in {finding.id, finding.id.replace("-", " "), finding.title.lower(), *finding.words}
    ]
    if len(exact) == 1:
        return exact[0]
    partial = [
        finding.id
        for finding in check.findings
        if any(part.startswith(said) for part in (finding.id, finding.title.lower(), *finding.words))
    ]
    if len(partial) == 1:
        return partial[0]
    near = nearest(said, ids)
    hint = f"; did you mean {near}?" if near else ""
    raise MisreadError(f"{said!r} is none of the choices: {', '.join(ids)}{hint}")


def _reading(
    check: Check, reading: Reading, said: str, sureness: Sureness, state: str
) -> Answered | Measured:
    if not any(letter.isdecimal() for letter in said):
        try:
            return Answered(check.id, _choice(check, said), sureness, state)
        except MisreadError:
            raise MisreadError(
                f"{said!r} is not a reading; type a number with its unit, such as {_example(reading)}"
            ) from None
    try:
        if _RANGE.search(said):
            first, second = parse_range(said, default_unit=reading.unit)
        else:
            first = second = parse(said, default_unit=reading.unit)
        low, high = first.to(reading.unit), second.to(reading.unit)
    except QuantityError as error:
        raise MisreadError(f"{error}") from None
    least, most = reading.least.to(reading.unit), reading.most.to(reading.unit)
    if low.value < least.value or high.value > most.value:
        raise MisreadError(
            f"{said} cannot be: a reading here lies between {show(least)} and {show(most)}; look again, "
            "and mind the unit"
        )
    return Measured(check.id, low.value, high.value, sureness, state)


def _example(reading: Reading) -> str:
    middle = reading.least.to(reading.unit).value * 0.6 + reading.most.to(reading.unit).value * 0.4
    return f"{middle:.3g} {reading.unit}".strip()


def takes_reading(check: Check) -> bool:
    """Tell whether a check is answered with a number and a unit."""
    return check.kind is CheckKind.MEASURE and check.reading is not None
