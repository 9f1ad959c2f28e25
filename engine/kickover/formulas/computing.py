"""Work out a formula by name: check every argument, run the work, and say where the result comes from."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from kickover.formulas import (
    air,
    bolts,
    compression,
    cylinder,
    electrics,
    fuel,
    road,
    threads,
    timing,
    vibration,
)
from kickover.formulas.formula import CHOICE, FigureRangeError, FigureUsageError, Formula, Parameter
from kickover.units import Quantity, QuantityError, parse, show_number

Argument = Quantity | str | float
_SUBJECTS = (air, cylinder, compression, fuel, electrics, timing, threads, bolts, vibration, road)


@dataclass(frozen=True, slots=True)
class Result:
    """A worked formula.

    `value` is the main result; `values` holds every named result, the main one first. `working` shows
    the numbers filled in, `notes` say what to bear in mind for these inputs.
    """

    formula: Formula
    value: Quantity
    values: Mapping[str, Quantity]
    working: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def source(self) -> str:
        """Where the formula was published, and where in it."""
        return f"{self.formula.source}, {self.formula.section}"


@cache
def registry() -> Mapping[str, Formula]:
    """Every formula under its name, in the order of the subjects."""
    known = (value for subject in _SUBJECTS for value in vars(subject).values())
    return MappingProxyType({value.name: value for value in known if isinstance(value, Formula)})


def compute(name: str, arguments: Mapping[str, Argument]) -> Result:
    """Work out the formula `name`.

    Arguments may be quantities, text as people type it, or bare numbers in the parameter's own unit.
    Raises `FigureUsageError` for a name, parameter or value that cannot be used, and `FigureRangeError`
    for one outside the range for which the formula holds; both are `FigureError`.
    """
    formula = find_formula(name)
    outcome = formula.work(_checked(formula, arguments))
    main = next(iter(outcome.values.values()))
    return Result(formula, main, outcome.values, outcome.working, outcome.notes)


def find_formula(name: str) -> Formula:
    """Find a formula by name. Raises `FigureUsageError` that offers the nearest names."""
    formula = registry().get(name)
    if formula is None:
        raise FigureUsageError(f"there is no formula '{name}'; {_nearest(name, registry(), 'formulas')}")
    return formula


def describe_range(parameter: Parameter) -> str:
    """Say in words what a parameter accepts."""
    if parameter.choices is not None:
        return f"one of {', '.join(parameter.choices)}"
    low, high = _number(parameter.low), _number(parameter.high)
    if parameter.unit == ":1":
        return f"{low}:1 to {high}:1"
    return f"{low} to {high} {parameter.unit}".rstrip()


def _checked(formula: Formula, arguments: Mapping[str, Argument]) -> dict[str, float | str]:
    """The arguments by their names: numbers in the units of their parameters, and chosen words."""
    names = [parameter.name for parameter in formula.parameters]
    for given in arguments:
        if given not in names:
            raise FigureUsageError(f"{formula.name} has no '{given}'; {_nearest(given, names, 'parameters')}")
    checked: dict[str, float | str] = {}
    for parameter in formula.parameters:
        argument = arguments.get(parameter.name, parameter.default)
        if argument is None:
            if parameter.required:
                raise FigureUsageError(
                    f"{formula.name} needs {parameter.name} ({parameter.title}), {describe_range(parameter)}"
                )
        elif isinstance(argument, bool):
            raise FigureUsageError(
                f"{formula.name}: {parameter.name} is {argument}; it takes {describe_range(parameter)}"
            )
        else:
            read = _chosen if parameter.dimension == CHOICE else _in_range
            checked[parameter.name] = read(formula, parameter, argument)
    return checked


def _chosen(formula: Formula, parameter: Parameter, argument: Argument) -> str:
    assert parameter.choices is not None
    text = show_number(argument) if isinstance(argument, float | int) else str(argument)
    wanted = _plain_word(text)
    for word in parameter.choices:
        if _plain_word(word) == wanted:
            return word
    raise FigureUsageError(
        f"{formula.name}: {parameter.name} is '{text}'; {_nearest(text, parameter.choices, 'choices')}"
    )


def _plain_word(text: str) -> str:
    return text.casefold().replace("×", "x").replace(" ", "").removesuffix(".0")


def _in_range(formula: Formula, parameter: Parameter, argument: Argument) -> float:
    assert parameter.low is not None
    assert parameter.high is not None
    try:
        if isinstance(argument, str):
            quantity = parse(argument, default_unit=parameter.unit)
        elif isinstance(argument, Quantity):
            quantity = argument
        else:
            quantity = Quantity(argument, parameter.unit)
        value = quantity.within(parameter.unit)
        if parameter.unit == ":1" and quantity.unit == "%" and 0.0 < value < 1.0:
            value = 1.0 / value  # 2.5 % of oil is one part in forty
    except QuantityError as error:
        raise FigureUsageError(
            f"{formula.name}: {parameter.name}: {error}; it takes {describe_range(parameter)}"
        ) from error
    if not parameter.low <= value <= parameter.high:
        raise FigureRangeError(
            f"{formula.name}: {parameter.name} is {quantity}; it holds for {describe_range(parameter)}"
        )
    return value


def _nearest(given: str, names: Iterable[str], kind: str) -> str:
    every = list(names)
    close = difflib.get_close_matches(given, every, n=3, cutoff=0.5)
    if close:
        return f"did you mean {' or '.join(close)}?"
    return f"the {kind} are {', '.join(every)}"


def _number(value: float | None) -> str:
    return "" if value is None else show_number(value, 4)
