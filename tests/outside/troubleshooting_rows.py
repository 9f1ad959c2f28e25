"""Rows of published troubleshooting tables, and whether the shipped library knows them.

A row says that a complaint may come of something; the causes of the library that mean the same are named
beside it, and each of them must be reachable from that complaint on one of the shipped machines. What a table
says is told in our own words.
"""

from __future__ import annotations

from dataclasses import dataclass

from faults.reach import causes_under
from kickover.core.ids import EventId


@dataclass(frozen=True)
class Row:
    """One row of a published table: a complaint, what the table blames for it, and that as causes of ours."""

    complaint: str
    blames: str
    causes: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.complaint}: {self.blames}"


def row(complaint: str, blames: str, *causes: str) -> Row:
    """One row; at least one cause."""
    assert causes
    return Row(complaint, blames, causes)


def not_found(one: Row) -> list[str]:
    """The causes of a row that the library does not know under its complaint."""
    known = causes_under(EventId(one.complaint))
    return [cause for cause in one.causes if cause not in known]
