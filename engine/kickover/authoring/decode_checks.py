"""Entries to checks: their findings, the chances of these, and readings with bands."""

from __future__ import annotations

from kickover.authoring.entry_values import (
    amount,
    condition,
    limit,
    needs,
    number,
    quantity,
    setups,
    sources,
    text,
    texts,
    unit,
)
from kickover.authoring.located import Table, inner, listed, tables
from kickover.authoring.sections import Entry
from kickover.core.ids import CheckId, FindingId
from kickover.model.library import ALWAYS, Band, Check, CheckKind, Finding, Limit, Line, Reading
from kickover.units import Quantity


def check(entry: Entry) -> Check:
    """Give a check. A yes/no check becomes one with two findings and two lines."""
    table = entry.data
    yes_or_no = "observes" in table
    return Check(
        id=CheckId(entry.id),
        title=text(table, "title"),
        kind=CheckKind(str(table["kind"])),
        ask=text(table, "ask"),
        how=texts(table, "how"),
        sketch=text(table, "sketch"),
        findings=_answers(table) if yes_or_no else _findings(table),
        lines=_two_lines(entry) if yes_or_no else _lines(entry),
        reading=_reading(entry, inner(table, "reading")) if "reading" in table else None,
        needs=needs(entry),
        note=text(table, "note"),
        sources=sources(table),
        place=entry.place(),
    )


def _answers(table: Table) -> tuple[Finding, ...]:
    return tuple(_finding(word, table.get(word, word.capitalize())) for word in ("yes", "no"))


def _findings(table: Table) -> tuple[Finding, ...]:
    if "findings" in table:
        return tuple(_finding(name, written) for name, written in inner(table, "findings").items())
    bands = tables(listed(inner(table, "reading"), "bands"))
    return tuple(_finding(text(band, "finding"), band) for band in bands)


def _finding(name: str, written: object) -> Finding:
    if not isinstance(written, Table):
        return Finding(FindingId(name), str(written), (), (), "")
    title = text(written, "title", name.capitalize())
    return Finding(
        FindingId(name), title, texts(written, "words"), setups(written, "leaves"), text(written, "stop")
    )


def _lines(entry: Entry) -> tuple[Line, ...]:
    lines = []
    for index, table in enumerate(tables(listed(entry.data, "expect"))):
        chances = inner(table, "chances")
        lines.append(
            Line(
                when=condition(table, "when"),
                chances={FindingId(name): number(chances, name) for name in chances},
                place=entry.place("expect", index),
            )
        )
    return tuple(lines)


def _two_lines(entry: Entry) -> tuple[Line, ...]:
    abnormal = FindingId(str(entry.data["abnormal"]))
    normal = FindingId("no" if abnormal == "yes" else "yes")
    miss, false_alarm = number(entry.data, "miss"), number(entry.data, "false_alarm")
    return (
        Line(condition(entry.data, "observes"), {abnormal: 1 - miss, normal: miss}, entry.place("miss")),
        Line(ALWAYS, {abnormal: false_alarm, normal: 1 - false_alarm}, entry.place("false_alarm")),
    )


def _reading(entry: Entry, table: Table) -> Reading:
    symbol = unit(entry, ["reading", "unit"], table["unit"])
    error = inner(table, "error")

    def read(*steps: str, written: object) -> Quantity:
        return quantity(entry, ["reading", *steps], written, symbol)

    return Reading(
        unit=symbol or "",
        error_share=number(error, "share"),
        error_fixed=_fixed_error(entry, error, symbol),
        least=read("least", written=table["least"]),
        most=read("most", written=table["most"]),
        bands=tuple(
            _band(entry, index, band, symbol) for index, band in enumerate(tables(listed(table, "bands")))
        ),
    )


def _fixed_error(entry: Entry, error: Table, symbol: str | None) -> Quantity:
    if "fixed" not in error:
        return Quantity(0.0, symbol or "")
    return amount(entry, ["reading", "error", "fixed"], error["fixed"], symbol)


def _band(entry: Entry, index: int, table: Table, symbol: str | None) -> Band:
    def edge(key: str) -> Limit | None:
        return limit(entry, ["reading", "bands", index, key], table[key], symbol) if key in table else None

    return Band(
        FindingId(text(table, "finding")), edge("from"), edge("below"), entry.place("reading", "bands", index)
    )
