"""What the tables of the finishing lists say, the same on every kind of drawing."""

from __future__ import annotations

from kickover.documents.charts.chart import Chart, FinishingList, ListedCause
from kickover.documents.model_wording import chance_words, minutes_words

HEADINGS = ("", "Likely cause", "Look for it", "What mends it", "Time")
AT_ONCE = "No check is worth it first: make the repair and prove it."


def few(share: float) -> str:
    """A share as a count in one or two figures."""
    return chance_words(share if share >= 0.1 else float(f"{share:.1g}")) if share > 0.0 else "hardly any"


def list_name(listed: FinishingList) -> str:
    """The name of a list, as it is pointed to."""
    return f"List {listed.letter}"


def facts(listed: FinishingList) -> str:
    """How many come to a list, how many of them it mends, and in which time."""
    return (
        f"{few(listed.share)} walks come here; the list mends {few(listed.mended)} of these, and takes "
        f"{minutes_words(round(listed.minutes))} on average."
    )


def heading_lines(chart: Chart, listed: FinishingList) -> tuple[str, ...]:
    """What stands above a table: when one comes to it, what it does, the proof after each repair."""
    cautions = chart.cautions_in_words(listed.proof_cautions)
    return (
        f"{list_name(listed)}: {listed.title}",
        facts(listed),
        f"After each repair, put everything back and prove it: {listed.proof}",
        *listed.proof_how,
        *((f"Caution at the proof: {cautions}.",) if cautions else ()),
        *listed.closing,
    )


def check_lines(row: ListedCause) -> tuple[str, ...]:
    """What to look for in a row, and which answer shows it."""
    first = (f"Where it is not so yet, first: {'; '.join(row.first)}.",) if row.first else ()
    if not row.check:
        return (*first, AT_ONCE)
    stops = tuple(f"STOP. {stop}" for stop in row.stops)
    return (*first, row.check, f"It shows it: {' or '.join(row.shows)}.", *stops)


def repair_lines(row: ListedCause) -> tuple[str, ...]:
    """What mends the cause of a row."""
    ban = (f"STOP. {row.ban}",) if row.ban else ()
    return (row.repair, *row.mending, *ban)


def need_lines(chart: Chart, row: ListedCause) -> tuple[str, ...]:
    """The tools and cautions of a row."""
    tools = (f"Tools: {', '.join(row.tools)}",) if row.tools else ()
    cautions = (f"Caution: {chart.cautions_in_words(row.cautions)}",)
    return (*tools, *(cautions if row.cautions else ()))


def row_cells(chart: Chart, row: ListedCause, number: int) -> tuple[tuple[str, ...], ...]:
    """The cells of a row, each as lines, under `HEADINGS`."""
    return (
        (f"{number}",),
        (f"{row.title} ({few(row.chance)})",),
        check_lines(row),
        (*repair_lines(row), *need_lines(chart, row)),
        time_lines(row),
    )


def time_lines(row: ListedCause) -> tuple[str, ...]:
    """The hands-on minutes of a row's check and repair, apart."""
    check = (f"Check: {minutes_words(row.check_minutes)}",) if row.check_minutes else ()
    return (*check, f"Repair: {minutes_words(row.minutes)}")
