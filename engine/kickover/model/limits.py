"""Limits of bands in numbers: a quantity, a figure of the machine, or a formula of the field; odd figures.

Nothing here is evaluated from text: a formula is one of `kickover.formulas`, named.
"""

from __future__ import annotations

from kickover.core.ids import FigureId
from kickover.core.problem import KickoverError
from kickover.formulas import FigureError, compute
from kickover.model.library import Band, FigureRef, FormulaRef, Library, Limit, Machine, Reading
from kickover.units import Quantity, QuantityError, show

FAR = 6.0
"""So many times more, or less, than what is usual is asked about."""
_COUNTED_FROM_ELSEWHERE = frozenset({"°C", "°F"})
"""Units whose zero is no absence, so that no share of a value means anything."""


class LimitError(KickoverError):
    """A limit that has no number on a machine; `machine` says on which."""

    def __init__(self, message: str, machine: Machine) -> None:
        self.machine = machine
        super().__init__(message)


def figure_of(library: Library, machine: Machine, figure: FigureId) -> Quantity:
    """Give a figure of the machine: the one stated, the first assumed one that fits it, or what follows.

    Raises `LimitError` when there is none of them.
    """
    if figure in machine.figures:
        return machine.figures[figure]
    known = library.figures.get(figure)
    if known is None:
        raise LimitError(f"there is no figure `{figure}`; add it under `figures:`", machine)
    for fitting, value in known.assumed:
        if machine.fits(fitting):
            return value
    if known.follows is not None:
        return Quantity(resolve(known.follows, known.unit, library, machine), known.unit)
    hint = f"add `{figure}:` to the machine, or `assumed:` to the figure"
    raise LimitError(f"{machine.id} states no {figure}, and none is assumed for it; {hint}", machine)


def resolve(limit: Limit, unit: str, library: Library, machine: Machine) -> float:
    """Give the number of a limit in `unit` for a machine: its base times `times` plus `plus`.

    Raises `LimitError` when a figure is missing, a formula refuses its arguments, or the units do not fit.
    """
    try:
        base = _base(limit, library, machine).within(unit) * limit.times
        return base if limit.plus is None else base + limit.plus.within(unit)
    except (QuantityError, FigureError) as error:
        raise LimitError(str(error), machine) from error


def resolved_bands(reading: Reading, library: Library, machine: Machine) -> tuple[float, ...]:
    """Give the edges between the bands of a reading for a machine, in the reading's unit, rising.

    One edge fewer than bands. Raises `LimitError` for a limit without a number, and when the edges do not
    rise or leave what can be read.
    """
    edges: list[float] = []
    lowest, highest = reading.least.within(reading.unit), reading.most.within(reading.unit)
    for band, after in zip(reading.bands, reading.bands[1:], strict=False):
        edge = resolve(_between(band, after, machine), reading.unit, library, machine)
        where = f"on {machine.id} the limit above `{band.finding}` is {edge:.4g} {reading.unit}".rstrip()
        if edges and edge <= edges[-1]:
            raise LimitError(f"{where}, not above the one before; make the limits rise", machine)
        if not lowest < edge < highest:
            raise LimitError(
                f"{where}, outside {reading.least} to {reading.most}; widen that or mend the limit", machine
            )
        edges.append(edge)
    return tuple(edges)


def _between(band: Band, after: Band, machine: Machine) -> Limit:
    limit = band.high or after.low
    if limit is None:
        raise LimitError(f"nothing ends `{band.finding}`; add `below: ...` to it", machine)
    return limit


def _base(limit: Limit, library: Library, machine: Machine) -> Quantity:
    match limit.base:
        case FigureRef(figure):
            return figure_of(library, machine, figure)
        case FormulaRef(formula, arguments):
            given = {
                name: figure_of(library, machine, each.figure) if isinstance(each, FigureRef) else each
                for name, each in arguments.items()
            }
            return compute(formula, given).value
        case Quantity() as quantity:
            return quantity


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
    stated = (name for name in machine.figures if name in library.figures)
    found = (figure_doubt(library, machine, name) for name in stated)
    return tuple(doubt for doubt in found if doubt)
