"""A case in words for people."""

from __future__ import annotations

from collections.abc import Iterator

from kickover.cases.notation import write_causes, write_seen
from kickover.cases.record import Case
from kickover.library.model import Library


def case_lines(case: Case, library: Library) -> Iterator[str]:
    """One case in full."""
    yield f"{case.id}  {case.date}"
    yield f"  machine:    {case.machine}"
    yield f"  complaint:  {', '.join(_title(library, one) for one in case.complaints)}"
    if case.given:
        yield f"  situation:  {', '.join(_title(library, one) for one in case.given)}"
    causes = " or ".join(" and ".join(_title(library, one) for one in both) for both in case.causes)
    yield f"  cause:      {causes} ({write_causes(case.causes)}; {case.confirmed.value})"
    if case.repair:
        yield f"  repair:     {case.repair}"
    if case.minutes is not None:
        yield f"  minutes:    {case.minutes:.4g}"
    for seen in case.seen:
        yield f"  saw:        {write_seen((seen,))}"
    if case.library:
        yield f"  library:    {case.library}"


def case_line(case: Case) -> str:
    """One case on one line, for a list."""
    complaints = ", ".join(case.complaints)
    return f"{case.date}  {case.machine}  {complaints}: {write_causes(case.causes)}  [{case.id}]"


def _title(library: Library, event: str) -> str:
    try:
        return library.title_of(event)  # type: ignore[arg-type]
    except KeyError:
        return event
