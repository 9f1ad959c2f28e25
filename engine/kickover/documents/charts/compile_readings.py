"""The limits of measurements on a machine: for the branches of a chart, and as a table with sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kickover.documents.charts.chart import ChartReading, LimitRow, UnitChoice
from kickover.inference.compiled_model import Model
from kickover.model.library import Check, Library
from kickover.units import Quantity, known_units, show

Span = tuple[float | None, float | None]


def chart_reading(check: Check) -> ChartReading | None:
    """How a measurement is typed on a chart: in its own unit or any other of its kind."""
    reading = check.reading
    if reading is None:
        return None
    own = Quantity(0.0, reading.unit).unit
    others = (
        [known_unit for known_unit in known_units(Quantity(0.0, own).dimension) if known_unit != own]
        if own
        else []
    )
    return ChartReading(
        own,
        tuple(_choice(one, own) for one in (own, *others)),
        reading.least.within(own),
        reading.most.within(own),
    )


def _choice(unit: str, own: str) -> UnitChoice:
    zero = Quantity(0.0, unit).within(own)
    return UnitChoice(unit, Quantity(1.0, unit).within(own) - zero, zero)


def spans(model: Model, check: Check) -> tuple[Span, ...]:
    """The readings of each finding of a check, in its unit: from, and up to; all open without a reading."""
    if check.reading is None:
        return ((None, None),) * len(check.findings)
    edges = model.edges[check.id]
    return tuple(zip((None, *edges), (*edges, None), strict=True))


def limit_rows(model: Model, checks: Iterable[Check]) -> Iterator[LimitRow]:
    """The table of limits: a row for each finding of each measurement, with what it rests on."""
    for check in checks:
        if check.reading is None:
            continue
        unit = check.reading.unit
        for finding, span in zip(check.findings, spans(model, check), strict=True):
            title = f"{check.title}: {finding.title}"
            yield LimitRow(title, span_words(span, unit), source_words(model.library, check))


def span_words(span: Span, unit: str) -> str:
    """A range in words, metric first with the customary unit in brackets."""
    low, high = (None if edge is None else show(Quantity(edge, unit)) for edge in span)
    if low is None:
        return f"below {high}" if high else "any"
    return f"{low} to {high}" if high else f"{low} or more"


def source_words(library: Library, check: Check) -> str:
    """What the limits of a check rest on."""
    titles = [library.sources[source].title for source in check.sources]
    return "; ".join(titles) or "no source stated"
