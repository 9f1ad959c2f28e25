"""Draws laid-out pages: as PDF through reportlab, and as SVG with titles for screen readers."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from html import escape

import pypdfium2
from reportlab.pdfgen.canvas import Canvas

from kickover.documents import text
from kickover.documents.page_layout import LineMark, Mark, Panel, PrintedPage, ShapeMark, TextMark

_BASELINE = 0.96
_ARROW = 4.5


def pages_pdf(pages: Sequence[PrintedPage], title: str) -> bytes:
    """The pages as one PDF, its text as text; the same pages give the same bytes."""
    text.use_fonts()
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(pages[0].wide, pages[0].high), invariant=1, pageCompression=1)
    canvas.setTitle(text.printable(title))
    canvas.setCreator("kickover")
    canvas.setLineJoin(1)
    for page in pages:
        canvas.setPageSize((page.wide, page.high))
        for panel in page.panels:
            _panel(canvas, page, panel)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _panel(canvas: Canvas, page: PrintedPage, panel: Panel) -> None:
    canvas.saveState()
    area = panel.area
    if area.turned:
        canvas.translate(area.x + area.wide, page.high - area.y - area.high)
        canvas.rotate(180)
    else:
        canvas.translate(area.x, page.high - area.y)
    for mark in panel.marks:
        draw_mark(canvas, mark)
    canvas.restoreState()


def draw_mark(canvas: Canvas, mark: Mark) -> None:
    """One mark on a PDF page whose origin is the top left corner of its area."""
    if isinstance(mark, TextMark):
        canvas.setFont(text.BOLD if mark.bold else text.REGULAR, mark.size)
        canvas.drawString(mark.x, -(mark.y + mark.size * _BASELINE), text.printable(mark.says))
        return
    canvas.setLineWidth(mark.wide if isinstance(mark, LineMark) else 0.9)
    path = canvas.beginPath()
    path.moveTo(mark.points[0][0], -mark.points[0][1])
    for x, y in mark.points[1:]:
        path.lineTo(x, -y)
    if isinstance(mark, ShapeMark):
        path.close()
        canvas.drawPath(path, stroke=1, fill=1 if mark.filled else 0)
        return
    canvas.drawPath(path)
    if mark.arrow:
        head = canvas.beginPath()
        for number, (x, y) in enumerate(_arrowhead(mark)):
            (head.lineTo if number else head.moveTo)(x, -y)
        head.close()
        canvas.drawPath(head, stroke=0, fill=1)


def _arrowhead(line: LineMark) -> tuple[tuple[float, float], ...]:
    (ax, ay), (bx, by) = line.points[-2:]
    length = max(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5, 0.01)
    dx, dy = (bx - ax) / length * _ARROW, (by - ay) / length * _ARROW
    return (bx, by), (bx - dx - dy * 0.5, by - dy + dx * 0.5), (bx - dx + dy * 0.5, by - dy - dx * 0.5)


def page_png(page: PrintedPage) -> bytes:
    """One page as a PNG picture of twice its points, drawn from its PDF."""
    document = pypdfium2.PdfDocument(pages_pdf([page], ""))
    stream = io.BytesIO()
    document[0].render(scale=2).to_pil().save(stream, "PNG")
    return stream.getvalue()


def page_svg(page: PrintedPage, title: str, described: str) -> bytes:
    """One page as an SVG picture with a title and a description."""
    size = f'width="{page.wide:.0f}" height="{page.high:.0f}" viewBox="0 0 {page.wide:.2f} {page.high:.2f}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" font-family="{text.FONT_FAMILY}">',
        f"<title>{escape(text.clean(title))}</title>",
        f"<desc>{escape(text.clean(described))}</desc>",
        f'<rect width="{page.wide:.2f}" height="{page.high:.2f}" fill="white"/>',
    ]
    for panel in page.panels:
        area = panel.area
        moved = f"translate({area.x:.2f} {area.y:.2f})"
        if area.turned:
            moved = f"translate({area.x + area.wide:.2f} {area.y + area.high:.2f}) rotate(180)"
        parts.append(f'<g transform="{moved}">')
        parts += [line for mark in panel.marks for line in mark_svg(mark)]
        parts.append("</g>")
    return "\n".join([*parts, "</svg>", ""]).encode()


def mark_svg(mark: Mark) -> Iterator[str]:
    """One mark as elements of an SVG picture."""
    if isinstance(mark, TextMark):
        weight = ' font-weight="bold"' if mark.bold else ""
        wide = text.width(mark.says, mark.size, mark.bold) / 1.06
        yield (
            f'<text x="{mark.x:.2f}" y="{mark.y + mark.size * _BASELINE:.2f}" font-size="{mark.size:g}"'
            f"{weight}"
            f' textLength="{wide:.2f}" lengthAdjust="spacingAndGlyphs">{escape(text.clean(mark.says))}</text>'
        )
        return
    points = " ".join(f"{x:.2f},{y:.2f}" for x, y in mark.points)
    if isinstance(mark, ShapeMark):
        fill = "black" if mark.filled else "none"
        yield f'<polygon points="{points}" fill="{fill}" stroke="black" stroke-width="0.9"/>'
        return
    yield f'<polyline points="{points}" fill="none" stroke="black" stroke-width="{mark.wide:g}"/>'
    if mark.arrow:
        head = " ".join(f"{x:.2f},{y:.2f}" for x, y in _arrowhead(mark))
        yield f'<polygon points="{head}" fill="black"/>'
