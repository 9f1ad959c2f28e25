"""Limits and readings: where one finding of a measurement ends and the next begins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kickover.core.ids import FigureId, FindingId
from kickover.core.problem import SourcePlace
from kickover.units import Quantity


@dataclass(frozen=True, slots=True)
class FigureRef:
    """A figure of the machine, such as its `coil-primary` resistance."""

    figure: FigureId


@dataclass(frozen=True, slots=True)
class FormulaRef:
    """A formula of the field with each of its parameters given as a figure of the machine or a quantity."""

    formula: str
    arguments: Mapping[str, FigureRef | Quantity]


@dataclass(frozen=True, slots=True)
class Limit:
    """Where one band ends and the next begins: `base` times `times` plus `plus`."""

    base: Quantity | FigureRef | FormulaRef
    times: float = 1.0
    plus: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Band:
    """The readings that count as one finding: from `low` up to `high`, open ended where None."""

    finding: FindingId
    low: Limit | None
    high: Limit | None
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
