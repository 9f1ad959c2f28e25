"""One HTML page of a chart that works on a phone without a network: step by step, saved, printable.

The chart is held as data in the page; a small script shows one step at a time. What is printed is the sheet.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from html import escape
from importlib import resources

from kickover.documents.charts.chart import Chart, Item, Table, steps_of
from kickover.documents.charts.how_to import HowTo
from kickover.documents.charts.layout import CALLING
from kickover.documents.page_layout import PrintedPage
from kickover.documents.page_output import page_svg
from kickover.documents.text import clean


def guided_page(chart: Chart, how_to: dict[str, HowTo], sheet: Sequence[PrintedPage], date: str) -> bytes:
    """The page: `chart` step by step, with how each step is done, and `sheet` for printing."""
    steps: list[dict[str, object]] = [_box(item, how_to) for item in chart.boxes]
    for table in chart.tables:
        steps += _table(table, how_to)
    first = chart.boxes[0].label if chart.boxes else f"{chart.tables[0].letter}1" if chart.tables else ""
    data = {
        "first": first,
        "steps": {str(step["id"]): step for step in steps},
        "cautions": [[title, words] for title, words in chart.cautions],
        "left": list(chart.left),
    }
    pictures = "".join(
        f'<div class="sheet">{page_svg(page, chart.title, chart.machine).decode()}</div>' for page in sheet
    )
    shown = {item.check_id or item.repair_id for item in steps_of(chart)} | {
        row.repair_id for table in chart.tables for row in table.rows
    }
    drawings = {
        marked.drawing.id: replace(marked, places=()).svg()
        for id_ in sorted(shown & how_to.keys())
        for marked in how_to[id_].where
    }
    template = resources.files("kickover.documents.charts").joinpath("guided_page.html").read_text("utf-8")
    filled = {
        "@TITLE@": escape(clean(f"{chart.title}: {chart.machine}")),
        "@FACTS@": escape(clean(f"{chart.version}, {date}. With: {chart.kit}.")),
        "@DATA@": json.dumps(data, ensure_ascii=False).replace("<", "\\u003c"),
        "@SHEETS@": pictures,
        "@DRAWINGS@": "".join(drawings.values()),
    }
    for mark, words in filled.items():
        template = template.replace(mark, words)
    return template.encode()


def _box(item: Item, how_to: dict[str, HowTo]) -> dict[str, object]:
    ways = [
        [f"{way.answer}{' (do not ride)' if way.stop and way.to else ''}", _start(way.to)]
        for way in item.exits
    ]
    if item.repair:
        ways = [["It is cured", "cured"], ["Not cured", ways[-1][1]]]
    return _step(item.label, item, how_to, ways)


def _start(to: str) -> str:
    """The first step of what a label names: a box, or the first row of a table."""
    return f"{to}1" if to.isalpha() else to or "end"


def _table(table: Table, how_to: dict[str, HowTo]) -> list[dict[str, object]]:
    steps: list[dict[str, object]] = []
    for place, row in enumerate(table.rows):
        onward = table.rows[place + 1].label if place + 1 < len(table.rows) else "end"
        mend = f"{row.label}+" if row.check else row.label
        if row.check:
            ways = [[answer, mend] for answer in row.shows] + [[answer, onward] for answer in row.others]
            steps.append(_step(row.label, Item(row.label, row.check, row.check_id, normal=row.normal,
                                               cautions=row.cautions), how_to, ways))  # fmt: skip
        repair = Item(row.label, repair=row.repair, repair_id=row.repair_id, minutes=row.minutes,
                      cautions=row.cautions, no_ride=row.no_ride, lasts=row.lasts)  # fmt: skip
        steps.append(_step(mend, repair, how_to, [["It is cured", "cured"], ["Not cured", onward]]))
        if place == table.paying:
            steps[-2 if row.check else -1]["calling"] = CALLING
    return steps


def _step(id_: str, item: Item, how_to: dict[str, HowTo], ways: list[list[str]]) -> dict[str, object]:
    how = how_to.get(item.check_id or item.repair_id)
    return {
        "id": id_,
        "label": item.label,
        "ask": item.check or item.repair,
        "repair": not item.check,
        "normal": item.normal,
        "minutes": item.minutes,
        "cautions": list(item.cautions),
        "noride": item.no_ride,
        "lasts": item.lasts,
        "how": list(how.steps) if how else [],
        "at": [[one.drawing.id, list(one.places), one.words()] for one in how.where] if how else [],
        "ways": ways,
    }
