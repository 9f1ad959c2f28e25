"""From what a person typed to an entry: a choice, a reading with its unit, a range, and how sure they are.

Nothing is guessed silently: what cannot be is questioned with a `MisreadError`, whose text says what would be
understood.
"""

from __future__ import annotations

import re
import unicodedata

from kickover.core.near_names import nearest
from kickover.core.problem import KickoverError
from kickover.inference.soft_evidence import Sureness
from kickover.model.library import Check, CheckKind, Finding, Reading
from kickover.session.entries import Answer, Answered, Measured
from kickover.session.instrument import split_instrument
from kickover.units import OverRangeError, Quantity, QuantityError, parse, parse_range, show

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
_METERED = frozenset({"resistance", "voltage", "current"})
_MORE_OR_LESS = re.compile(
    r"(?:(?P<more>over|above|more than|at least|>=?|≥)"
    r"|(?P<less>under|below|less than|at most|<=?|≤))\s*(?P<bound>.+)",
    re.IGNORECASE,
)
_RANGE = re.compile(r"\bto\b|\bbetween\b|\band\b|\d\s*[-–…]\s*\d|\.\.|±", re.IGNORECASE)


class MisreadError(KickoverError):
    """An answer that is not understood, or that cannot be."""


def interpret(check: Check, text: str, state: str = "") -> Answer:
    """Read an answer to `check`. Raises MisreadError with what would be understood."""
    if text.strip().lower() in {finding.id for finding in check.findings}:
        return Answered(check.id, text.strip().lower(), Sureness.SURE, state)
    said, sureness = _split_sureness(text)
    if not said:
        raise MisreadError("nothing was answered; pick one of the choices, or skip")
    if check.reading is not None:
        return _reading(check, check.reading, said, sureness, state)
    return Answered(check.id, _choice(check, said), sureness, state)


def _split_sureness(text: str) -> tuple[str, Sureness]:
    """Part an answer from how sure it is. Capitals stay: a megohm is no milliohm."""
    said = " ".join(text.split())
    for mark in ("~", ",", "?"):
        head, found, tail = said.rpartition(mark)
        if found and tail.strip().lower() in _SURENESS:
            return head.strip(), _SURENESS[tail.strip().lower()]
        if found and mark == "?" and not tail.strip():
            return head.strip(), Sureness.GUESS
    for words, sureness in _SURENESS.items():
        if said.lower().endswith(f" {words}"):
            return said[: -len(words)].strip(), sureness
    return said, Sureness.SURE


def _choice(check: Check, text: str) -> str:
    said = text.lower()
    ids = [finding.id for finding in check.findings]
    if said.isdecimal():
        number = int(said) if len(said) < 4 else 0
        if 1 <= number <= len(ids):
            return ids[number - 1]
        raise MisreadError(f"there is no choice {said[:8]}; the choices are 1 to {len(ids)}")
    if said in ids:
        return said
    if set(ids) == {"yes", "no"} and said in _YES | _NO:
        return "yes" if said in _YES else "no"
    spoken = {finding.id: _spellings(finding) for finding in check.findings}
    for fits in (
        said.__eq__,
        lambda word: word.startswith(said),
        lambda word: len(said) > 2 and said in word,
    ):
        found = [id_ for id_, words in spoken.items() if any(fits(word) for word in words)]
        if len(found) == 1:
            return found[0]
    everything = [word for words in spoken.values() for word in words]
    near = nearest(said, everything)
    hint = f"; did you mean {near}?" if near else ""
    raise MisreadError(f"{shown(said)} is none of the choices: {', '.join(ids)}{hint}")


def names_finding(check: Check, said: str) -> bool:
    """Tell whether what was typed is just a finding of the check, by its id or a word of its author."""
    return any(said.lower() in {finding.id, *finding.words} for finding in check.findings)


def _spellings(finding: Finding) -> tuple[str, ...]:
    return (finding.id, finding.id.replace("-", " "), finding.title.lower(), *finding.words)


def _reading(check: Check, reading: Reading, said: str, sureness: Sureness, state: str) -> Answer:
    said, instrument = split_instrument(said)
    if not said:
        raise MisreadError(f"type the reading first, then rough, such as {_example(reading)} rough")
    if not any(letter.isdecimal() for letter in said):
        return _wordy_reading(check, reading, said, sureness, state)
    try:
        low, high = _span(reading, said)
    except OverRangeError:
        return _over_range(check, reading, sureness, state)
    except QuantityError as error:
        raise MisreadError(f"{error}") from None
    least, most = reading.least.within(reading.unit), reading.most.within(reading.unit)
    if low < least or high > most:
        raise MisreadError(
            f"{said} cannot be: a reading here lies between {show(reading.least.to(reading.unit))} and "
            f"{show(reading.most.to(reading.unit))}; look again, and mind the unit"
        )
    own = instrument.error(reading, (low + high) / 2.0) if instrument else 0.0
    return Measured(check.id, low, high, sureness, state, own)


def _span(reading: Reading, said: str) -> tuple[float, float]:
    """The two ends of what was read, in the unit of the reading; the same twice for a single value."""
    if found := _MORE_OR_LESS.fullmatch(said):
        bound = parse(found["bound"], default_unit=reading.unit).within(reading.unit)
        if found["less"]:
            return reading.least.within(reading.unit), bound
        return bound, reading.most.within(reading.unit)
    if _RANGE.search(said):
        first, second = parse_range(said, default_unit=reading.unit)
        return first.within(reading.unit), second.within(reading.unit)
    value = parse(said, default_unit=reading.unit).within(reading.unit)
    return value, value


def _wordy_reading(check: Check, reading: Reading, said: str, sureness: Sureness, state: str) -> Answer:
    """An answer in words to a measurement: a finding, or a meter that shows no number."""
    try:
        return Answered(check.id, _choice(check, said), sureness, state)
    except MisreadError:
        pass
    try:
        parse(said, default_unit=reading.unit)
    except OverRangeError:
        return _over_range(check, reading, sureness, state)
    except QuantityError:
        pass
    raise MisreadError(
        f"{shown(said)} is not a reading; type a number with its unit, such as {_example(reading)}"
    )


def _over_range(check: Check, reading: Reading, sureness: Sureness, state: str) -> Answered:
    """A meter that shows over range, or an open circuit: the last band, which has no upper end."""
    if reading.least.dimension not in _METERED:
        raise MisreadError(
            f"over range says nothing here; type a number with its unit, such as {_example(reading)}"
        )
    return Answered(check.id, reading.bands[-1].finding, sureness, state)


def _example(reading: Reading) -> str:
    middle = reading.least.to(reading.unit).value * 0.6 + reading.most.to(reading.unit).value * 0.4
    return show(Quantity(middle, reading.unit), digits=2).partition(" (")[0]


def takes_reading(check: Check) -> bool:
    """Tell whether a check is answered with a number and a unit."""
    return check.kind is CheckKind.MEASURE and check.reading is not None


LONGEST = 400
"""Characters of one line that are taken; nobody answers with more."""

MOST_PASTED = 2_000
"""With more characters than this a line is no answer, but a paste that went wrong."""

_UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})


def refusal(text: str) -> str:
    """What to say of a text too long for an answer, which is then not looked at; empty for any other."""
    if len(text) <= MOST_PASTED:
        return ""
    return (
        f"That is {len(text)} characters, and an answer has at most {MOST_PASTED}; nothing of it was taken:"
        " type it shorter."
    )


def cleaned(text: str) -> str:
    """One line without control, format and unassigned characters, single spaces, cut to `LONGEST`.

    Escape sequences lose what makes them one, so nothing that was pasted can steer a terminal.
    """
    kept = "".join(
        " " if unicodedata.category(letter) in _UNFIT else letter for letter in text[: 4 * LONGEST]
    )
    return " ".join(kept.split())[:LONGEST]


def shown(said: str, longest: int = 40) -> str:
    """What was typed, in quotes and not longer than can be read at a glance."""
    cut = said if len(said) <= longest else f"{said[: longest - 3]}..."
    return f"'{cut}'"
