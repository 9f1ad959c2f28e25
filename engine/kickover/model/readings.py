"""Limits and readings: where one finding of a measurement ends and the next begins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from kickover.core.ids import FigureId, FindingId, Kind
from kickover.core.problem import SourcePlace
from kickover.model.authored import IN_PLACE, Key
from kickover.units import Quantity


@dataclass(frozen=True, slots=True)
class FigureRef:
    """A figure of the machine, such as its `coil-primary` resistance."""

    figure: Annotated[FigureId, IN_PLACE]


@dataclass(frozen=True, slots=True)
class FormulaRef:
    """A formula of the field with each of its parameters given as a figure of the machine or a quantity."""

    formula: Annotated[str, Kind("formula"), IN_PLACE]
    arguments: Annotated[Mapping[str, FigureRef | Quantity], Key("with")]


@dataclass(frozen=True, slots=True)
class Limit:
    """Where one band ends and the next begins: `base` times `times` plus `plus`."""

    base: Annotated[Quantity | FigureRef | FormulaRef, IN_PLACE]
    times: float = 1.0
    plus: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """The readings that count as one finding: from `low` up to `high`, open ended where None."""

    finding: FindingId
    low: Annotated[Limit | None, Key("from")]
    high: Annotated[Limit | None, Key("below")]
    place: SourcePlace


@dataclass(frozen=True, slots=True)
class Reading:
    """How a measurement is read: its unit, its instrument's error, and its bands.

    The standard deviation of the error is the root of the squares of `error_share` times the value and
    `error_fixed`. Readings outside `least`..`most` cannot be, and are questioned.
    """

    unit: str
    error_share: float
    error_fixed: Quantity
    least: Quantity
    most: Quantity
    bands: tuple[Band, ...]
