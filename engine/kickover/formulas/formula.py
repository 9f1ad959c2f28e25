"""What a formula of the field is: its parameters with units and range, its source, and its work.

Formulas are values. They read nothing and print nothing; the work behind each one is a pure function
from plain numbers, in the units that its parameters state, to quantities and lines of working.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kickover.core.problem import KickoverError
from kickover.units import Quantity, dimension_of

CHOICE = "choice"


class FigureError(KickoverError):
    """A formula that cannot be worked out; the text says which parameter is at fault and what would do."""


class FigureUsageError(FigureError):
    """A formula or parameter that is missing, unknown, unreadable, or in the wrong kind of unit."""


class FigureRangeError(FigureError):
    """A value outside the range for which the formula holds."""


@dataclass(frozen=True, slots=True)
class Parameter:
    """One input of a formula.

    A number has a `unit`, its `dimension`, and the closed range `low` to `high` in that unit. A word has
    `choices` instead, and the dimension `choice`. `figure` is what machines call it, where they do. Without
    `default`, a `required` one must be given; one that is not required may be left out, and its title says
    what that means.
    """

    name: str
    title: str
    unit: str
    dimension: str
    low: float | None
    high: float | None
    default: float | str | None = None
    choices: tuple[str, ...] | None = None
    required: bool = True
    figure: str = ""


@dataclass(frozen=True, slots=True)
class Inputs:
    """Checked arguments: numbers in the units of their parameters, and chosen words."""

    numbers: Mapping[str, float]
    words: Mapping[str, str]

    def __getitem__(self, name: str) -> float:
        return self.numbers[name]

    def maybe(self, name: str) -> float | None:
        """Give a number that may have been left out."""
        return self.numbers.get(name)

    def word(self, name: str) -> str:
        """Give a chosen word."""
        return self.words[name]


@dataclass(frozen=True, slots=True)
class FormulaValue:
    """What a formula's work gives: named quantities, the main one first, working, and notes."""

    values: Mapping[str, Quantity]
    working: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula of the field under its name, with everything needed to use and to judge it.

    `dimension` and `result_unit` are those of the main result. `source` names what was published and
    `section` where in it; a rule of the trade says "common practice, no source".
    """

    name: str
    title: str
    parameters: tuple[Parameter, ...]
    result_unit: str
    dimension: str
    source: str
    section: str
    validity: str
    work: Callable[[Inputs], FormulaValue] = field(repr=False)

    def parameter(self, name: str) -> Parameter | None:
        """Find a parameter by name."""
        return next((parameter for parameter in self.parameters if parameter.name == name), None)


def number(
    name: str,
    title: str,
    unit: str,
    low: float,
    high: float,
    *,
    default: float | None = None,
    required: bool = True,
    figure: str = "",
) -> Parameter:
    """Describe a parameter that is a number between `low` and `high`, both in `unit`."""
    return Parameter(name, title, unit, dimension_of(unit), low, high, default, None, required, figure)


def choice(name: str, title: str, choices: tuple[str, ...], default: str | None = None) -> Parameter:
    """Describe a parameter that is one of a few words."""
    return Parameter(name, title, "", CHOICE, None, None, default, choices)


def formula(
    name: str,
    title: str,
    parameters: tuple[Parameter, ...],
    result_unit: str,
    work: Callable[[Inputs], FormulaValue],
    *,
    source: str,
    section: str,
    validity: str,
) -> Formula:
    """Put a formula together; its dimension follows from the unit of its result."""
    dimension = dimension_of(result_unit)
    return Formula(name, title, parameters, result_unit, dimension, source, section, validity, work)
