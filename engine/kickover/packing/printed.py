"""What is printed: the service list and a pack as PDF to tick off, and the frontier as a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import replace
from math import ceil, floor

from kickover.core.ids import ItemId
from kickover.documents.columns import Piece, caution_box, gap, paragraph, pdf_in_columns, table_row
from kickover.documents.dot_text import Words
from kickover.documents.line_plot import Axis, line_plot
from kickover.documents.page_layout import MARGIN, Area
from kickover.documents.paper import SMALL, PdfCanvas
from kickover.model.library import Item, Library
from kickover.packing.advice import Pack
from kickover.packing.checklist import Checklist, ServiceTask
from kickover.packing.checklist_text import CAUTIONS, TIGHTENING, details, ends
from kickover.packing.pack_report import NOT_COUNTED, Advice
from kickover.session.outcome import LOCAL_RULES
from kickover.session.wording import percent

TOOL_ROLL, SPARES_TIN = "Tool roll", "Tin of spares"
"""Where tools and spares go that have no other place."""
_INDENT = 16.0


def checklist_pdf(made: Checklist, date: str, paper: str = "a4") -> bytes:
    """The list on lying `a4` or `letter` paper; the same list and date give the same bytes.

    Raises PaperError for any other paper.
    """
    title = f"Service: {made.machine}"

    def furniture(canvas: PdfCanvas, number: str) -> None:
        right, foot = canvas.paper.wide - MARGIN, canvas.paper.high - MARGIN - 11
        hours = Words("Hours on the engine: ............   Done by: ....................", SMALL)
        canvas.words(Words(title, 10, bold=True), MARGIN, MARGIN)
        canvas.right(hours, right, MARGIN + 1)
        canvas.line(((MARGIN, MARGIN + 16), (right, MARGIN + 16)), 0.6)
        canvas.line(((MARGIN, foot - 3), (right, foot - 3)), 0.6)
        canvas.words(Words(f"{made.library} · {date}", SMALL), MARGIN, foot)
        canvas.right(Words(f"Sheet {number}", SMALL), right, foot)

    return pdf_in_columns(title, paper, lambda wide: [_tasks(made, wide)], furniture, head=22, foot=17)


def _tasks(made: Checklist, wide: float) -> Iterator[Piece]:
    for part in made.parts:
        yield from paragraph(part.title, wide, size=11, bold=True, holds=True)
        yield replace(gap(3), holds=True)
        for task in part.tasks:
            yield from _task(task, wide)
        yield gap(7)
    for heading, rows in ends(made):
        yield from paragraph(heading, wide, size=11, bold=True, holds=True)
        for title, words in rows:
            if heading == TIGHTENING:
                yield table_row((title, words), (wide * 0.62, wide * 0.38))
            elif heading == CAUTIONS:
                yield caution_box(title, words, wide)
            else:
                yield from paragraph(f"{title}: {words}", wide, size=SMALL)
        yield gap(7)
    yield from paragraph(LOCAL_RULES, wide, size=SMALL)


def _task(task: ServiceTask, wide: float) -> Iterator[Piece]:
    first, *others = paragraph(task.title, wide, bold=True, indent=_INDENT, holds=True)
    yield from (_ticked(first, 1, 1, 9), *others)
    *lines, last = details(task)
    for line in lines:
        yield from paragraph(line, wide, size=SMALL, indent=_INDENT, holds=True)
    yield from paragraph(last, wide, size=SMALL, indent=_INDENT)
    yield gap(3)


def by_pocket(library: Library, items: AbstractSet[ItemId]) -> dict[str, tuple[Item, ...]]:
    """The items by their places in the pouch, tools first, each place in the order of the library."""
    places: dict[str, tuple[Item, ...]] = {}
    for item in sorted(
        (item for item in library.items.values() if item.id in items), key=lambda item: item.spare
    ):
        place = item.pocket or (SPARES_TIN if item.spare else TOOL_ROLL)
        places[place] = (*places.get(place, ()), item)
    return places


def pack_pdf(
    library: Library, advice: Advice, items: AbstractSet[ItemId], date: str, paper: str = "a4"
) -> bytes:
    """The pack as a list, a box an item; the same pack and date give the same bytes. Raises PaperError."""
    title = f"To carry: {advice.machine.title}"

    def furniture(canvas: PdfCanvas, _number: str) -> None:
        edition = Words(f"{library.title} {library.version} · {date}", SMALL)
        canvas.words(Words(title, 11, bold=True), MARGIN, MARGIN)
        canvas.right(edition, canvas.paper.wide - MARGIN, MARGIN + 2)

    return pdf_in_columns(
        title, paper, lambda wide: [_items(library, advice, items, wide)], furniture, head=24, foot=14
    )


def _items(library: Library, advice: Advice, items: AbstractSet[ItemId], wide: float) -> Iterator[Piece]:
    widths = (16.0, wide * 0.72 - 16, wide * 0.14, wide * 0.14)
    for place, held in by_pocket(library, items).items():
        yield from paragraph(place, wide, bold=True, holds=True)
        for item in held:
            row = table_row(("", item.title, f"{item.grams:g} g", f"{item.price:g}"), widths)
            yield _ticked(row, 2, 1.5, 8)
        yield gap(8)
    grams = sum(library.items[item].grams for item in items)
    yield from paragraph(f"In all {grams:.0f} g.", wide, bold=True)
    said = f"With it {percent(advice.best.chance)} of strandings end at home under one's own power."
    yield from paragraph(said, wide, size=SMALL)
    yield from paragraph(
        f"{NOT_COUNTED} The last column is the price in the money of the library.", wide, size=SMALL
    )


def _ticked(piece: Piece, right: float, down: float, size: float) -> Piece:
    """The piece with a box to tick off."""

    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.frame(Area(x + right, y + down, size, size))
        piece.draw(canvas, x, y)

    return replace(piece, draw=draw)


def frontier_svg(packs: Sequence[Pack], title: str, most: float) -> bytes:
    """The staircase through `packs`, lightest first, up to `most` grams, as an SVG file."""
    low = floor(min((pack.chance for pack in packs), default=0.0) * 10) / 10
    high = min(1.0, ceil(max((pack.chance for pack in packs), default=1.0) * 10) / 10)
    if high <= low:
        low, high = max(0.0, high - 0.1), high or 0.1
    return line_plot(
        title,
        Axis("grams carried", 0.0, max(most, 1.0)),
        Axis("chance of getting home", low, high, "{:.0%}".format),
        [(pack.grams, pack.chance) for pack in packs],
        stairs=True,
    )
