"""Conditions over names that are true or false: events, traits, house events."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Annotated

from kickover.core.ids import Kind


@dataclass(frozen=True, slots=True)
class Is:
    """True when the named event, trait or house event is true."""

    name: str


@dataclass(frozen=True, slots=True)
class Not:
    """True when `part` is false."""

    part: Condition


@dataclass(frozen=True, slots=True)
class All:
    """True when every part is true."""

    parts: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """True when at least one part is true."""

    parts: tuple[Condition, ...]


Condition = Is | Not | All | Any
EventCondition = Annotated[Condition, Kind("event")]
HouseCondition = Annotated[Condition, Kind("house event")]
TraitCondition = Annotated[Condition, Kind("trait")]

ALWAYS = All(())


def holds(condition: Condition, is_true: Callable[[str], bool]) -> bool:
    """Tell whether `condition` holds, given the truth of each name in it."""
    match condition:
        case Is(name):
            return is_true(name)
        case Not(part):
            return not holds(part, is_true)
        case All(parts):
            return all(holds(part, is_true) for part in parts)
        case Any(parts):
            return any(holds(part, is_true) for part in parts)


def names_in(condition: Condition) -> Iterable[str]:
    """Every name that `condition` mentions, with repeats, left to right."""
    match condition:
        case Is(name):
            yield name
        case Not(part):
            yield from names_in(part)
        case All(parts) | Any(parts):
            for part in parts:
                yield from names_in(part)
