"""A report as one HTML page that needs nothing beside it."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from kickover.documents.engine_drawing import MarkedDrawing
from kickover.documents.walk_report import Curve, Report, set_apart
from kickover.session.wording import percent

_STYLE = """
:root { color-scheme: light dark; }
body { font: 16px/1.5 sans-serif; max-width: 52rem; margin: 2rem auto; padding: 0 1rem; }
table { border-collapse: collapse; width: 100%; }
th, td { border: 1px solid; padding: .3rem .5rem; text-align: left; vertical-align: top; }
.stop { border: 3px solid; padding: .5rem 1rem; font-weight: bold; }
dt { font-weight: bold; } dd { margin: 0 0 .3rem 0; }
svg { width: 100%; height: auto; }
figure { max-width: 30rem; margin: 1rem 0; } figure svg { background: #fff; }
"""
_WIDTH, _HEIGHT, _LEFT, _TOP = 640, 200, 44, 10
_DASHES = ("", "8 4", "2 3", "10 3 2 3")


def as_html(report: Report) -> str:
    """The report as a whole HTML document."""
    parts = [
        "<!doctype html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(report.title)}</title><style>{_STYLE}</style></head><body><main>",
        f"<h1>{escape(report.title)}</h1>",
        f"<dl>{''.join(map(_fact, report.about))}</dl>",
        *(f'<p class="stop">STOP: {escape(stop)}</p>' for stop in report.stops),
        _listed("Outcome", report.outcome),
        _listed("Likely causes at the end", report.causes),
        _plot(report.curves),
        "<h2>What was found</h2><table><tr><th>When</th><th>Check</th><th>Found</th><th>Limits</th></tr>",
        *(
            f"<tr><td>{escape(one.at)}</td><td>{escape(one.check)}</td><td>{escape(one.finding)}</td>"
            f"<td>{'<br>'.join(escape(limit) for limit in one.limits)}</td></tr>"
            for one in report.found
        ),
        "</table>",
        _listed("What was done", (f"{at} {words}" for at, words in report.done)),
        *(_figure(marked) for marked in report.where),
        _listed("Cautions", report.cautions),
        _listed("Notes", report.notes),
        "</main></body></html>",
    ]
    return "\n".join(parts) + "\n"


def _fact(fact: tuple[str, str]) -> str:
    return f"<dt>{escape(fact[0])}</dt><dd>{escape(fact[1])}</dd>"


def _listed(title: str, items: Iterable[str]) -> str:
    inside = "".join(f"<li>{escape(item)}</li>" for item in items)
    return f"<h2>{escape(title)}</h2><ul>{inside}</ul>" if inside else ""


def _figure(marked: MarkedDrawing) -> str:
    words = f"{marked.drawing.title}. Here: {marked.words()}"
    return f"<figure>{marked.svg()}<figcaption>{escape(words)}</figcaption></figure>"


def _plot(curves: tuple[Curve, ...]) -> str:
    """The causes over time: a line for each, told apart by its dashes and its number."""
    if not curves or len(curves[0].chances) < 2:
        return ""
    rows = "".join(
        f'<line x1="{_LEFT}" x2="{_WIDTH}" y1="{_y(share)}" y2="{_y(share)}" stroke="currentColor" '
        f'stroke-opacity=".25"/><text x="0" y="{_y(share) + 4}" font-size="12" fill="currentColor">'
        f"{share:.0%}</text>"
        for share in (0.0, 0.5, 1.0)
    )
    labels = set_apart([curve.chances[-1] for curve in curves], 14 / _HEIGHT)
    lines = "".join(
        _line(number, curve, label) for number, (curve, label) in enumerate(zip(curves, labels, strict=True))
    )
    names = "".join(
        f"<li>{escape(curve.title)}: {percent(curve.chances[0])} to {percent(curve.chances[-1])}</li>"
        for curve in curves
    )
    return (
        "<h2>Causes over time</h2><p>From the start to the last answer, left to right.</p>"
        f'<svg viewBox="0 0 {_WIDTH + 30} {_HEIGHT + 2 * _TOP}" role="img" '
        f'aria-label="Causes over time">{rows}{lines}</svg><ol>{names}</ol>'
    )


def _line(number: int, curve: Curve, label: float) -> str:
    step = (_WIDTH - _LEFT) / (len(curve.chances) - 1)
    points = " ".join(
        f"{_LEFT + step * place:.1f},{_y(chance)}" for place, chance in enumerate(curve.chances)
    )
    dashes = _DASHES[number % len(_DASHES)]
    return (
        f'<polyline points="{points}" fill="none" stroke="currentColor" stroke-width="2" '
        f'stroke-dasharray="{dashes}"/><text x="{_WIDTH + 6}" y="{_y(label) + 4}" '
        f'font-size="13" fill="currentColor">{number + 1}</text>'
    )


def _y(chance: float) -> float:
    return round(_TOP + (1.0 - chance) * _HEIGHT, 1)
