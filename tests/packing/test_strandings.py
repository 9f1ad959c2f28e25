"""How often each cause strands: rates times the chance to show, counted by hand and by the model."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.inference.hypotheses import UNLISTED, hypothesise
from kickover.model.library import Library
from kickover.packing.strandings import strandings
from worlds.packing_library import library, machine
from worlds.shipped_library import loaded


def test_shares_are_rates_times_the_chance_to_strand() -> None:
    """3 for the plug, 2 for the switch, 0.3 × 0.6 for the rings, and 1.5 for the axle."""
    total = 3 + 2 + 0.3 * 0.6 + 1.5
    found = {stranding.cause: stranding.share for stranding in strandings(library(), machine())}
    assert found == pytest.approx(
        {
            "plug-fouled": 3 / total,
            "switch-shorted": 2 / total,
            "rings-worn": 0.18 / total,
            "axle-loose": 1.5 / total,
        }
    )


def test_a_cause_that_only_annoys_does_not_strand() -> None:
    assert "cover-loose" not in {stranding.cause for stranding in strandings(library(), machine())}


def test_only_what_shows_as_a_named_complaint_is_counted() -> None:
    demo = loaded().library
    clip_on = demo.machines[MachineId("clip-on-two-stroke")]
    causes = {one.cause for one in strandings(demo, clip_on, only={EventId("no-spark-seen")})}

    assert "source-coil-open" in causes
    assert not causes & {"float-needle-leaks", "tyre-flat", "fuel-filter-clogged"}


def test_the_situation_shifts_the_shares() -> None:
    cold = strandings(library(), machine(), frozenset({EventId("engine-cold")}))
    rings = next(one.share for one in cold if one.cause == "rings-worn")
    assert rings == pytest.approx(0.36 / (3 + 2 + 0.36 + 1.5))


@pytest.mark.parametrize("name", ["clip-on-two-stroke", "electric-step-through"])
def test_with_one_stranding_complaint_the_shares_are_those_of_the_model(shipped: Library, name: str) -> None:
    """With a library in which nothing else strands, they equal the prior of the single causes."""
    only = "hard-to-turn"
    known = shipped.machines[MachineId(name)]
    complaints = {id_: one for id_, one in shipped.complaints.items() if id_ == only}
    narrowed = replace(shipped, complaints=complaints)
    hypotheses = hypothesise(narrowed, known, [EventId(only)], order=1)
    prior: dict[EventId, float] = {}
    for row in range(hypotheses.count - UNLISTED):
        cause = hypotheses.causes_of(row)[0]
        prior[cause] = prior.get(cause, 0.0) + float(hypotheses.prior[row])
    total = sum(prior.values())
    found = {stranding.cause: stranding.share for stranding in strandings(narrowed, known)}
    assert found == pytest.approx({cause: mass / total for cause, mass in prior.items()})
