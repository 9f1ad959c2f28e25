"""Rows of published troubleshooting tables, and whether the shipped library knows them.

A row says that a complaint may come of something; the causes of the library that mean the same are named
beside it. Without a finding, each of them must be reachable from that complaint on one of the shipped
machines. With the finding that the row names (what to look at, and what is seen there), each must be
among the first eight. What a table says is told in our own words.
"""

from __future__ import annotations

from dataclasses import dataclass

from faults.reach import causes_on, causes_under
from kickover.core.ids import CheckId, EventId, MachineId
from worlds.shipped_library import loaded, shipped

FIRST = 8
"""How far from the top the cause of a row may stand once the row's finding has been seen."""


@dataclass(frozen=True)
class Row:
    """One row of a published table: a complaint, what the table blames for it, and that as causes of ours."""

    complaint: str
    blames: str
    causes: tuple[str, ...]
    seen: tuple[str, ...] = ()

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


def seen(complaint: str, finding: str, blames: str, *causes: str) -> Row:
    """One row with the finding that it names, as `check=finding`; several are joined by a plus."""
    assert causes
    return Row(complaint, blames, causes, tuple(finding.split("+")))


def places(one: Row) -> dict[str, int]:
    """For each cause of a row its best place in the rankings after the row's finding; 0 where it has none."""
    return {cause: min(_places(one, EventId(cause)), default=0) for cause in one.causes}


def _places(one: Row, cause: EventId) -> list[int]:
    found = []
    for machine in shipped().machines:
        if cause in causes_on(machine, EventId(one.complaint)) and _can_be_seen(one, machine):
            walk = loaded().walk(one.complaint, machine, order=1)
            for answer in one.seen:
                check, _, finding = answer.partition("=")
                walk.record(check, finding)
            order = [ranked.cause for ranked in walk.ranking() if ranked.cause in shipped().causes]
            found.append(order.index(cause) + 1)
            if found[-1] <= FIRST:
                break
    return found


def _can_be_seen(one: Row, machine: MachineId) -> bool:
    checks = [shipped().checks[CheckId(answer.partition("=")[0])] for answer in one.seen]
    return all(shipped().machines[machine].fits(check.needs.only_if) for check in checks)


def too_far_down(one: Row) -> dict[str, int]:
    """The causes of a row that are not among the first eight, each with its place; 0 for none."""
    return {cause: place for cause, place in places(one).items() if not 1 <= place <= FIRST}
