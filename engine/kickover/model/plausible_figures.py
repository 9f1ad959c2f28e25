"""Figures of a machine that can hardly be meant: far from what is usual, or below what they must exceed."""

from __future__ import annotations

from kickover.core.ids import FigureId
from kickover.model.library import Library, Machine
from kickover.model.limits import LimitError, figure_of
from kickover.units import QuantityError, show

FAR = 6.0
"""So many times more, or less, than what is usual is asked about."""


def figure_doubt(library: Library, machine: Machine, figure: FigureId) -> str:
    """Say why a figure that the machine states can hardly be meant; nothing where it may well be.

    It is held against the value that is assumed where none is stated, and against the figures of which the
    library says that one lies above the other.
    """
    known, value = library.figures[figure], machine.figures[figure]
    if known.above is not None:
        try:
            floor = figure_of(library, machine, known.above)
            if value.to(floor.unit).value <= floor.value:
                title = library.figures[known.above].title
                return f"{known.title}, {show(value)}, is not above {title}, {show(floor)}"
        except (LimitError, QuantityError):
            pass
    usual = next((usual for fitting, usual in known.assumed if machine.fits(fitting)), None)
    if usual is None or usual.value <= 0 or known.unit in _COUNTED_FROM_ELSEWHERE:
        return ""
    times = value.within(usual.unit) / usual.value
    if 1 / FAR < times < FAR:
        return ""
    if times <= 0:
        return f"{known.title}, {show(value)}, is nothing"
    how = f"{times:.0f} times" if times > 1 else f"{1 / times:.0f} times less than"
    return f"{known.title}, {show(value)}, is {how} the usual {show(usual)}"


def figure_doubts(library: Library, machine: Machine) -> tuple[str, ...]:
    """The doubts about all figures that the machine states, those first that are written first."""
    found = (figure_doubt(library, machine, one) for one in machine.figures if one in library.figures)
    return tuple(doubt for doubt in found if doubt)


_COUNTED_FROM_ELSEWHERE = frozenset({"°C", "°F"})
"""Units whose zero is no absence, so that no share of a value means anything."""
