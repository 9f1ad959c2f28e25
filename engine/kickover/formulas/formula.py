"""What a formula of the field is: its parameters with units and range, its source, and its work.

Formulas are values. They read nothing and print nothing; the work behind each one is a pure function
from plain numbers, in the units that its parameters state, and chosen words, to quantities and lines of
working. Its signature is the declaration of the parameters.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from inspect import signature
from typing import get_type_hints

from kickover.core.problem import KickoverError
from kickover.units import Quantity, dimension_of

CHOICE = "choice"
HEYWOOD = "Heywood, Internal Combustion Engine Fundamentals"
PRACTICE = "common practice, no source"


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
    work: Callable[[Mapping[str, float | str]], FormulaValue] = field(repr=False)

    def parameter(self, name: str) -> Parameter | None:
        """Find a parameter by name."""
        return next((parameter for parameter in self.parameters if parameter.name == name), None)


def number(title: str, unit: str, low: float, high: float, *, figure: str = "") -> Parameter:
    """Describe a parameter that is a number between `low` and `high`, both in `unit`."""
    return Parameter("", title, unit, dimension_of(unit), low, high, figure=figure)


def choice(title: str, choices: Iterable[str]) -> Parameter:
    """Describe a parameter that is one of a few words."""
    return Parameter("", title, "", CHOICE, None, None, choices=tuple(choices))


def worked(
    values: Mapping[str, tuple[float, str]], *working: str, notes: tuple[str, ...] = ()
) -> FormulaValue:
    """Put together what a formula's work gives: numbers in units, lines of working, notes."""
    return FormulaValue({name: Quantity(*value) for name, value in values.items()}, working, notes)


def formula(
    title: str, result_unit: str, *, source: str, section: str, validity: str
) -> Callable[[Callable[..., FormulaValue]], Formula]:
    """Make a formula of the function that works it out.

    Its name is the function's. Its parameters are the function's, each annotated with what `number` or
    `choice` describes; a default of None makes one that may be left out.
    """

    def declared(work: Callable[..., FormulaValue]) -> Formula:
        hints, known = get_type_hints(work, include_extras=True), signature(work).parameters.values()
        parameters = tuple(
            replace(
                hints[argument.name].__metadata__[0],
                name=_spoken(argument.name),
                default=None if argument.default is argument.empty else argument.default,
                required=argument.default is not None,
            )
            for argument in known
        )
        identifiers = {_spoken(argument.name): argument.name for argument in known}

        def by_name(given: Mapping[str, float | str]) -> FormulaValue:
            return work(**{identifiers[name]: value for name, value in given.items()})

        name, dimension = _spoken(work.__name__), dimension_of(result_unit)
        return Formula(name, title, parameters, result_unit, dimension, source, section, validity, by_name)

    return declared


def _spoken(identifier: str) -> str:
    """A name of Python as people type it: `class_` is class, `_leak_down` is leak-down."""
    return identifier.strip("_").replace("_", "-")
