"""What listing no more than so many causes leaves out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.inference.hypotheses import UNLISTED, hypothesise
from kickover.inference.truncation import share_beyond
from kickover.model.library import Library


@pytest.mark.parametrize(
    ("complaint", "machine", "given"),
    [
        ("kicks-back", "clip-on-two-stroke", ()),
        ("kicks-back", "points-moped", ("engine-hot",)),
        ("hard-to-turn", "electric-step-through", ()),
    ],
)
@pytest.mark.parametrize("order", [1, 2])
def test_it_is_what_longer_lists_hold_more(
    shipped: Library, complaint: str, machine: str, given: tuple[str, ...], order: int
) -> None:
    """Against sets of up to four causes, listed one by one with the same odds."""
    apart = replace(shipped, brings={})
    known = apart.machines[MachineId(machine)]
    houses = frozenset(EventId(one) for one in given)
    longer = hypothesise(apart, known, [EventId(complaint)], houses, order=4)
    sizes = (longer.members >= 0).sum(axis=1)[:-UNLISTED]
    listed = longer.prior[:-UNLISTED]
    beyond = float(listed[sizes > order].sum() / listed.sum())
    shorter = hypothesise(apart, known, [EventId(complaint)], houses, order=order)
    assert share_beyond(apart, replace(shorter, scale=longer.scale)) == pytest.approx(beyond, abs=2e-6)


def test_little_is_lost_beyond_two_causes(shipped: Library) -> None:
    for machine in ("clip-on-two-stroke", "four-stroke-49"):
        found = hypothesise(shipped, shipped.machines[MachineId(machine)], [EventId("will-not-start")])
        assert 0.0 < share_beyond(shipped, found) < 0.005
