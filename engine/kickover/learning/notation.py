"""A case as texts: how its parts are written as one line each, in cells of a table and on the command line.

    given    engine-cold + stood-months
    causes   jet-blocked / needle-stuck          one of them was there
             jet-blocked + plug-fouled           both were there
    seen     plug-look=wet; float-level=low:0.8,good:0.2
             compression=low (4.2 to 4.4 bar) @engine-hot     made when the engine was hot, and only that

Reading gives back exactly what was written. What cannot be read is a `CaseError`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import Any

from kickover.core.ids import is_id
from kickover.learning.case import Case, CaseError, CauseSet, Confirmed, MeasuredFinding, Seen

FIELDS = tuple(field.name for field in fields(Case))

_TOGETHER = "+"
_OR = "/"
_BETWEEN = ";"
_DECIMAL = r"-?[0-9]+(?:\.[0-9]*)?(?:[eE][-+]?[0-9]+)?"
_READING = re.compile(rf"({_DECIMAL}) to ({_DECIMAL}) ?([^()@;]*)\)")


def write_names(names: tuple[str, ...]) -> str:
    """Write ids that hold together."""
    return _TOGETHER.join(names)


def read_names(text: str) -> tuple[str, ...]:
    """Read ids that hold together; none at all when the text is empty."""
    return tuple(_id(part) for part in text.split(_TOGETHER)) if text.strip() else ()


def write_causes(causes: tuple[CauseSet, ...]) -> str:
    """Write alternatives, each a set of causes."""
    return _OR.join(write_names(cause) for cause in causes)


def read_causes(text: str) -> tuple[CauseSet, ...]:
    """Read alternatives, each a set of causes."""
    return tuple(read_names(part) for part in text.split(_OR)) if text.strip() else ()


def write_weights(weights: tuple[tuple[str, float], ...]) -> str:
    """Write the weights of findings: the finding alone when it was sure."""
    if len(weights) == 1 and weights[0][1] == 1.0:
        return weights[0][0]
    return ",".join(f"{finding}:{weight!r}" for finding, weight in weights)


def read_weights(text: str) -> tuple[tuple[str, float], ...]:
    """Read the weights of findings."""
    if ":" not in text:
        return ((_id(text), 1.0),)
    pairs = []
    for part in text.split(","):
        finding, mark, weight = part.partition(":")
        pairs.append((_id(finding), _number(weight) if mark else 1.0))
    return tuple(pairs)


def write_seen(seen: tuple[Seen, ...]) -> str:
    """Write everything that was seen in a case."""
    return f"{_BETWEEN} ".join(_write_one(check) for check in seen)


def read_seen(text: str) -> tuple[Seen, ...]:
    """Read everything that was seen in a case."""
    return tuple(_read_one(part) for part in text.split(_BETWEEN) if part.strip())


def read_confirmed(text: str) -> Confirmed:
    """Read how a cause is known; the first way when the text is empty."""
    if text and text not in list(Confirmed):
        raise CaseError(f"{text!r} is no confirmation; write {', '.join(Confirmed)}")
    return Confirmed(text or Confirmed.SEEN)


def _write_minutes(minutes: float | None) -> str:
    return "" if minutes is None else repr(minutes)


def _read_minutes(text: str) -> float | None:
    try:
        return float(text) if text else None
    except ValueError:
        raise CaseError(f"{text!r} is no number of minutes; write for example 25") from None


_PARTS: Mapping[str, tuple[Callable[[Any], str], Callable[[str], Any]]] = {
    "confirmed": (str, read_confirmed),
    "complaints": (write_names, read_names),
    "given": (write_names, read_names),
    "causes": (write_causes, read_causes),
    "seen": (write_seen, read_seen),
    "minutes": (_write_minutes, _read_minutes),
}
"""How each part is written and read; those that are not here are texts."""


def texts_of(case: Case, names: Iterable[str] = FIELDS) -> dict[str, str]:
    """The parts of a case with these names as texts."""
    return {
        name: _PARTS[name][0](getattr(case, name)) if name in _PARTS else getattr(case, name)
        for name in names
    }


def case_of_texts(texts: Mapping[str, str]) -> Case:
    """A case from the texts of its parts; what is optional may lack or be empty. Raises CaseError."""
    read = {name: reading(texts.get(name, "")) for name, (_, reading) in _PARTS.items()}
    return Case(**{**{name: texts.get(name, "") for name in FIELDS}, **read})


def _write_one(seen: Seen) -> str:
    text = f"{seen.check}={write_weights(seen.weights)}"
    if seen.measured is not None:
        measured = seen.measured
        text += f" ({f'{measured.low!r} to {measured.high!r} {measured.unit}'.rstrip()})"
    return text if seen.state is None else f"{text} @{write_names(seen.state)}"


def _read_one(text: str) -> Seen:
    check, mark, rest = text.partition("=")
    rest, at, state = rest.partition("@")
    weights, bracket, reading = rest.partition("(")
    if not mark:
        raise CaseError(f"{text.strip()!r} does not read as CHECK=FINDING; write for example plug-look=wet")
    return Seen(
        _id(check),
        read_weights(weights),
        _measured(reading) if bracket else None,
        read_names(state) if at else None,
    )


def _measured(text: str) -> MeasuredFinding:
    found = _READING.fullmatch(text.strip())
    if found is None:
        raise CaseError(f"({text.strip()} is no reading; write for example (4.2 to 4.4 bar)")
    low, high, unit = found.groups()
    return MeasuredFinding(float(low), float(high), unit)


def _id(text: str) -> str:
    word = text.strip()
    if not is_id(word):
        raise CaseError(f"{word!r} is no id; write lower-case words joined by hyphens")
    return word


def _number(text: str) -> float:
    if not re.fullmatch(_DECIMAL, text.strip()) or not 0.0 <= float(text) <= 1.0:
        raise CaseError(f"{text.strip()!r} is no weight; write a number from 0 to 1")
    return float(text)
