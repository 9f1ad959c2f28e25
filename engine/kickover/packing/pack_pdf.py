"""A pack as a list on paper: a box an item, in the order of its places in the pouch."""

from __future__ import annotations

from collections.abc import Iterator
from collections.abc import Set as AbstractSet

from kickover.core.ids import ItemId
from kickover.documents.columns import GUTTER, Piece, gap, in_columns, paragraph, table_row
from kickover.documents.dot_text import Words
from kickover.documents.page_layout import MARGIN, Area
from kickover.documents.paper import SMALL, PdfCanvas, paper_named
from kickover.model.library import Item, Library
from kickover.packing.pack_report import NOT_COUNTED, Advice
from kickover.session.wording import percent

TOOL_ROLL, SPARES_TIN = "Tool roll", "Tin of spares"
"""Where tools and spares go that have no other place."""
_TICK = 8.0
_HEADER = 24.0


def by_pocket(library: Library, items: AbstractSet[ItemId]) -> dict[str, tuple[Item, ...]]:
    """The items by their places in the pouch, tools first, each place in the order of the library."""
    places: dict[str, tuple[Item, ...]] = {}
    for item in sorted((one for one in library.items.values() if one.id in items), key=lambda one: one.spare):
        place = item.pocket or (SPARES_TIN if item.spare else TOOL_ROLL)
        places[place] = (*places.get(place, ()), item)
    return places


def pack_pdf(
    library: Library, advice: Advice, items: AbstractSet[ItemId], date: str, paper: str = "a4"
) -> bytes:
    """The list as a PDF; the same pack and date give the same bytes. Raises PaperError for other papers."""
    sheet = paper_named(paper)
    canvas = PdfCanvas(sheet, f"To carry: {advice.machine.title}")
    wide = (sheet.wide - 2 * MARGIN - GUTTER) / 2
    columns = in_columns(list(_pieces(library, advice, items, wide)), sheet.high - 2 * MARGIN - _HEADER - 14)
    for first in range(0, len(columns), 2):
        canvas.words(Words(f"To carry: {advice.machine.title}", 11, bold=True), MARGIN, MARGIN)
        canvas.right(
            Words(f"{library.title} {library.version} · {date}", SMALL), sheet.wide - MARGIN, MARGIN + 2
        )
        for place, column in enumerate(columns[first : first + 2]):
            for piece, down in column.pieces:
                piece.draw(canvas, MARGIN + place * (wide + GUTTER), MARGIN + _HEADER + down)
        canvas.next_page()
    return canvas.pdf()


def _pieces(library: Library, advice: Advice, items: AbstractSet[ItemId], wide: float) -> Iterator[Piece]:
    widths = (16.0, wide * 0.72 - 16, wide * 0.14, wide * 0.14)
    for place, held in by_pocket(library, items).items():
        yield from paragraph(place, wide, bold=True, holds=True)
        for item in held:
            yield _ticked(table_row(("", item.title, f"{item.grams:g} g", f"{item.price:g}"), widths))
        yield gap(8)
    grams = sum(library.items[item].grams for item in items)
    yield from paragraph(f"In all {grams:.0f} g.", wide, bold=True)
    said = f"With it {percent(advice.best.chance)} of strandings end at home under one's own power."
    yield from paragraph(said, wide, size=SMALL)
    yield from paragraph(
        f"{NOT_COUNTED} The last column is the price in the money of the library.", wide, size=SMALL
    )


def _ticked(row: Piece) -> Piece:
    def draw(canvas: PdfCanvas, x: float, y: float) -> None:
        canvas.frame(Area(x + 2, y + 1.5, _TICK, _TICK))
        row.draw(canvas, x, y)

    return Piece(row.high, draw)
