"""A report as Markdown text."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kickover.documents.walk_report import Curve, Report
from kickover.session.wording import percent

_LEVELS = " ▁▂▃▄▅▆▇█"


def as_markdown(report: Report) -> str:
    """The report as Markdown, ending in a line break."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: Report) -> Iterator[str]:
    yield f"# {_plain(report.title)}"
    yield ""
    for name, value in report.about:
        yield f"- {name}: {_plain(value)}"
    if report.stops:
        yield from _section("Stop", (f"**STOP:** {_plain(stop)}" for stop in report.stops))
    yield from _section("Outcome", map(_plain, report.outcome))
    yield from _section("Likely causes at the end", map(_plain, report.causes))
    if report.curves:
        yield from ("", "## Causes over time", "", "From the start to the last answer, left to right.", "")
        yield from map(_curve, report.curves)
    yield from ("", "## What was found", "", "| When | Check | Found | Limits |", "|---|---|---|---|")
    for one in report.found:
        limits = "<br>".join(_plain(limit) for limit in one.limits)
        yield f"| {one.at} | {_plain(one.check)} | {_plain(one.finding)} | {limits} |"
    yield from _section("What was done", (f"{at} {_plain(words)}" for at, words in report.done))
    if report.where:
        here = (f"{_plain(one.drawing.title)}: {_plain(one.words())}" for one in report.where)
        yield from _section("Where, on the drawings", here)
    yield from _section("Cautions", map(_plain, report.cautions))
    yield from _section("Notes", map(_plain, report.notes))


def _section(title: str, items: Iterable[str]) -> Iterator[str]:
    yield from ("", f"## {title}", "")
    for item in items:
        yield f"- {item}"


def _curve(curve: Curve) -> str:
    marks = "".join(_LEVELS[round(chance * (len(_LEVELS) - 1))] for chance in curve.chances)
    return f"- `{marks}` {percent(curve.chances[0])} to {percent(curve.chances[-1])}: {_plain(curve.title)}"


def _plain(text: str) -> str:
    """Keep marks that people typed from being read as Markdown or HTML."""
    escaped = "".join(f"\\{letter}" if letter in "\\`*_[]<>#|" else letter for letter in text)
    return escaped.replace("\n", " ")
