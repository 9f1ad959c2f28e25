"""The report of a walk as PDF pages."""

from __future__ import annotations

import io
from collections.abc import Iterable, Iterator
from html import escape

from reportlab.graphics.shapes import Drawing, Line, PolyLine, String
from reportlab.lib.colors import lightgrey
from reportlab.lib.enums import TA_LEFT
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, KeepTogether, Paragraph, SimpleDocTemplate, Spacer, Table, TableStyle

from kickover.documents import text
from kickover.documents.engine_drawing import MarkedDrawing
from kickover.documents.page_output import draw_mark
from kickover.documents.walk_report import Curve, Report, set_apart
from kickover.session.wording import percent

PAPERS = {"a4": A4, "letter": LETTER}
_MARGIN = 50
_DASHES: tuple[tuple[int, ...], ...] = ((), (6, 3), (2, 2), (8, 2, 2, 2))
_PLOT_HEIGHT, _PLOT_LEFT, _PLOT_RIGHT = 110, 34, 16


def report_pdf(report: Report, paper: str = "a4") -> bytes:
    """Give the report as a PDF file, the same bytes for the same report."""
    text.use_fonts()
    sink = io.BytesIO()
    size = PAPERS[paper]
    document = SimpleDocTemplate(
        sink,
        pagesize=size,
        leftMargin=_MARGIN,
        rightMargin=_MARGIN,
        topMargin=_MARGIN,
        bottomMargin=_MARGIN,
        title=text.printable(report.title),
        author="kickover",
        invariant=1,
    )
    document.build(list(_story(report, size[0] - 2 * _MARGIN - 12)), onFirstPage=_foot, onLaterPages=_foot)
    return sink.getvalue()


def _style(name: str, size: float, *, bold: bool = False, before: float = 0.0) -> ParagraphStyle:
    return ParagraphStyle(
        name,
        fontName=text.BOLD if bold else text.REGULAR,
        fontSize=size,
        leading=size * 1.35,
        spaceBefore=before,
        spaceAfter=2,
        alignment=TA_LEFT,
    )


_TITLE = _style("title", 15, bold=True)
_HEAD = _style("head", 11.5, bold=True, before=9)
_BODY = _style("body", 9)
_BOLD = _style("bold", 9, bold=True)
_STOP = _style("stop", 11, bold=True, before=4)


def _story(report: Report, width: float) -> Iterator[Flowable]:
    yield _paragraph(report.title, _TITLE)
    yield Spacer(1, 4)
    about = [[_paragraph(name, _BODY), _paragraph(value, _BODY)] for name, value in report.about]
    yield _table(about, [width * 0.27, width * 0.73], ruled=False)
    for stop in report.stops:
        yield _paragraph(f"STOP: {stop}", _STOP)
    yield from _listed("Outcome", report.outcome)
    yield from _listed("Likely causes at the end", report.causes)
    if report.curves and len(report.curves[0].chances) > 1:
        yield _paragraph("Causes over time, from the start to the last answer", _HEAD)
        yield _plot(report.curves, width)
        for number, curve in enumerate(report.curves, start=1):
            span = f"{percent(curve.chances[0])} to {percent(curve.chances[-1])}"
            yield _paragraph(f"{number}. {curve.title}: {span}", _BODY)
    if report.found:
        yield _paragraph("What was found", _HEAD)
        rows = [[_paragraph(name, _BOLD) for name in ("When", "Check", "Found", "Limits")]]
        rows += [
            [
                _paragraph(one.at, _BODY),
                _paragraph(one.check, _BODY),
                _paragraph(one.finding, _BODY),
                [_paragraph(limit, _BODY) for limit in one.limits],
            ]
            for one in report.found
        ]
        yield _table(rows, [width * share for share in (0.13, 0.24, 0.25, 0.38)], ruled=True)
    yield from _listed("What was done", (f"{at}  {words}" for at, words in report.done))
    for marked in report.where:
        words = _paragraph(f"{marked.drawing.title}. Here: {marked.words()}", _BODY)
        yield KeepTogether([_Picture(marked), words])
    yield from _listed("Cautions", report.cautions)
    yield from _listed("Notes", report.notes)


def _listed(title: str, items: Iterable[str]) -> Iterator[Flowable]:
    shown = list(items)
    if shown:
        yield _paragraph(title, _HEAD)
        for item in shown:
            yield _paragraph(f"• {item}", _BODY)


def _paragraph(words: str, style: ParagraphStyle) -> Paragraph:
    return Paragraph(escape(text.printable(words)), style)


def _table(rows: list[list[object]], widths: list[float], *, ruled: bool) -> Table:
    marks: list[tuple[object, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 1),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
    ]
    if ruled:
        marks.append(("LINEBELOW", (0, 0), (-1, -1), 0.4, "black"))
    return Table(rows, colWidths=widths, repeatRows=1 if ruled else 0, style=TableStyle(marks), hAlign="LEFT")


def _plot(curves: tuple[Curve, ...], width: float) -> Drawing:
    """A line for each cause, told apart by its dashes and its number."""
    drawing = Drawing(width, _PLOT_HEIGHT + 14)
    right = width - _PLOT_RIGHT
    for share in (0.0, 0.5, 1.0):
        height = 7 + share * _PLOT_HEIGHT
        drawing.add(Line(_PLOT_LEFT, height, right, height, strokeWidth=0.3, strokeColor=lightgrey))
        drawing.add(String(0, height - 3, f"{share:.0%}", fontName=text.REGULAR, fontSize=8))
    labels = set_apart([curve.chances[-1] for curve in curves], 9 / _PLOT_HEIGHT)
    for number, curve in enumerate(curves):
        step = (right - _PLOT_LEFT) / (len(curve.chances) - 1)
        points = [
            coordinate
            for place, chance in enumerate(curve.chances)
            for coordinate in (_PLOT_LEFT + step * place, 7 + chance * _PLOT_HEIGHT)
        ]
        dashes = list(_DASHES[number % len(_DASHES)]) or None
        drawing.add(PolyLine(points, strokeWidth=1.2, strokeDashArray=dashes))
        height = 7 + labels[number] * _PLOT_HEIGHT
        drawing.add(String(right + 3, height - 3, str(number + 1), fontName=text.REGULAR, fontSize=8))
    return drawing


class _Picture(Flowable):  # type: ignore[misc]
    """A drawing of the engine in its own size."""

    def __init__(self, marked: MarkedDrawing) -> None:
        super().__init__()
        self._marked = marked
        self.width, self.height = marked.drawing.size

    def draw(self) -> None:
        """Draw it upwards from the lower left corner, as pages are measured."""
        self.canv.translate(0, self.height)
        for mark in self._marked.marks():
            draw_mark(self.canv, mark)


def _foot(canvas: object, document: object) -> None:
    canvas.setFont(text.REGULAR, 8)  # type: ignore[attr-defined]
    canvas.drawString(_MARGIN, 30, f"Page {document.page}")  # type: ignore[attr-defined]
