"""What is recorded in a walk: one entry for each thing that was answered or done.

Entries are plain values that go to and from plain data, so that a journal can keep them and a walk can be
replayed from them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from math import isfinite
from typing import Any as AnyValue

from kickover.core.problem import KickoverError
from kickover.inference.repair_effect import Change
from kickover.inference.soft_evidence import Sureness


class EntryError(KickoverError):
    """A recorded entry that cannot be understood."""


@dataclass(frozen=True, slots=True)
class Answered:
    """A finding was chosen. `state` is the situation in which it was made, if not the present one."""

    check: str
    finding: str
    sureness: Sureness = Sureness.SURE
    state: str = ""


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading was taken: from `low` to `high` in the check's unit, the same twice for a single value.

    `error` is the standard deviation of the rider's own instrument in that unit; 0 for the one that the
    check reckons with.
    """

    check: str
    low: float
    high: float
    sureness: Sureness = Sureness.SURE
    state: str = ""
    error: float = 0.0


@dataclass(frozen=True, slots=True)
class Skipped:
    """A step was passed over; it may come back when nothing else is left."""

    step: str


@dataclass(frozen=True, slots=True)
class Cannot:
    """A step cannot be done here: no tool, no part, no reach.

    When it is a preparation, `toward` is the step that it was to be made for, which cannot be done either.
    """

    step: str
    toward: str = ""


@dataclass(frozen=True, slots=True)
class Chose:
    """The person picked the next check or repair; the walk goes there instead of where it would have gone."""

    step: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """A setup was put in place, or undone, or a danger was ended."""

    setup: str
    undone: bool


@dataclass(frozen=True, slots=True)
class Waited:
    """The situation changed to `event`: by waiting, or, when `told`, by itself as the person says."""

    event: str
    told: bool = False


@dataclass(frozen=True, slots=True)
class Repaired:
    """A repair was made; its proof comes next."""

    repair: str


@dataclass(frozen=True, slots=True)
class Proved:
    """The proof after a repair: the complaint is gone, or it is not; then `change` may say how it is now."""

    gone: bool
    change: Change | None = None


@dataclass(frozen=True, slots=True)
class PutOff:
    """The proof waits until another repair was made as well."""


@dataclass(frozen=True, slots=True)
class Noted:
    """A remark in the rider's own words."""

    text: str


@dataclass(frozen=True, slots=True)
class GaveUp:
    """The walk ends without a confirmed repair."""


Answer = Answered | Measured
Entry = Answer | Skipped | Cannot | Chose | Prepared | Waited | Repaired | Proved | PutOff | Noted | GaveUp

KINDS: Mapping[str, type[Entry]] = {
    "answered": Answered,
    "measured": Measured,
    "skipped": Skipped,
    "cannot": Cannot,
    "chose": Chose,
    "prepared": Prepared,
    "waited": Waited,
    "repaired": Repaired,
    "proved": Proved,
    "put-off": PutOff,
    "noted": Noted,
    "gave-up": GaveUp,
}
_NAMES = {kind: name for name, kind in KINDS.items()}


def to_data(entry: Entry) -> dict[str, AnyValue]:
    """Write an entry as plain data, its kind under `what`."""
    return {"what": _NAMES[type(entry)], **asdict(entry)}


def from_data(data: Mapping[str, AnyValue]) -> Entry:
    """Read an entry from plain data; EntryError when it is not one."""
    kind = KINDS.get(str(data.get("what")))
    if kind is None:
        raise EntryError(f"no entry is called {data.get('what')!r}; known are {', '.join(KINDS)}")
    values: dict[str, AnyValue] = {}
    for field in fields(kind):
        if field.name in data:
            values[field.name] = _valued(field.name, str(field.type), data[field.name])
    try:
        return kind(**values)
    except TypeError as error:
        raise EntryError(f"an entry {data.get('what')!r} is incomplete: {error}") from None


def _valued(name: str, kind: str, value: AnyValue) -> AnyValue:
    """A field's value, of the kind that it must have; EntryError for any other."""
    if kind == "Sureness" and value in list(Sureness):
        return Sureness(value)
    if kind == "Change | None" and (value is None or value in list(Change)):
        return None if value is None else Change(value)
    if kind == "float" and isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value):
        return float(value)
    if kind == "bool" and isinstance(value, bool):
        return value
    if kind == "str" and isinstance(value, str):
        return value
    raise EntryError(f"{value!r} is no {name} of an entry")
