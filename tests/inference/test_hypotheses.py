"""Which sets of causes are hypotheses, and what each weighs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import EventId, MachineId
from kickover.inference.hypotheses import ENDED, UNLISTED, Hypotheses, hypothesise, pair_scale
from kickover.model.library import Library
from reference.cut_sets import minimal_cut_sets
from reference.votes_tree import FaultTree, Votes

MOPED = MachineId("moped")
WILL_NOT_START = EventId("will-not-start")
HOT = EventId("engine-hot")


def weights(hypotheses: Hypotheses) -> dict[tuple[str, ...], float]:
    found: dict[tuple[str, ...], float] = {}
    for row in range(hypotheses.count):
        causes = hypotheses.causes_of(row)
        found[causes] = found.get(causes, 0.0) + float(hypotheses.prior[row])
    return found


def test_single_causes_share_by_rate_factor_and_weak_link(tiny: Library) -> None:
    """Rates 3, 2 and 0.3, the last doubled by the cold and let through in 6 of 10 cases."""
    found = weights(hypothesise(tiny, tiny.machines[MOPED], [WILL_NOT_START]))
    plug, switch, rings = (found[(cause,)] for cause in ("plug-fouled", "switch-shorted", "rings-worn"))
    assert switch / plug == pytest.approx(2 / 3)
    assert rings / plug == pytest.approx(0.3 * 2 * 0.6 / 3)


def test_two_causes_and_the_unlisted_one_have_their_stated_shares(tiny: Library) -> None:
    found = weights(hypothesise(tiny, tiny.machines[MOPED], [WILL_NOT_START]))
    assert found[()] == pytest.approx(0.03)
    assert sum(weight for causes, weight in found.items() if len(causes) == 2) == pytest.approx(0.97 * 0.06)
    assert sum(found.values()) == pytest.approx(1.0)


def test_a_cause_that_the_situation_rules_out_is_no_hypothesis(tiny: Library) -> None:
    found = weights(hypothesise(tiny, tiny.machines[MOPED], [WILL_NOT_START], {HOT}))
    assert ("rings-worn",) not in found


def test_a_complaint_that_cannot_be_leaves_only_the_unlisted_cause(tiny: Library) -> None:
    """Without spark faults only the rings are left, and they show only in the cold."""
    no_spark = replace(tiny.gates[EventId("no-spark")], inputs=())
    stripped = replace(tiny, gates={**tiny.gates, EventId("no-spark"): no_spark})
    hypotheses = hypothesise(stripped, tiny.machines[MOPED], [WILL_NOT_START], {HOT})
    assert hypotheses.count == UNLISTED
    assert hypotheses.prior.sum() == pytest.approx(1.0)


@pytest.mark.parametrize(
    "complaint", ["will-not-start", "no-spark-seen", "overheats", "kicks-back", "vibrates"]
)
def test_the_hypotheses_are_the_sets_that_hold_a_minimal_cut_set(shipped: Library, complaint: str) -> None:
    """Independent route: cut sets by bitmasks (Fussell and Vesely 1972) against evaluation of every set."""
    for machine in shipped.machines.values():
        hypotheses = hypothesise(shipped, machine, [EventId(complaint)])
        tree = fault_tree_of(hypotheses, complaint)
        cut_sets = minimal_cut_sets(tree, max_order=2)
        names = hypotheses.structure.causes
        expected = {
            chosen
            for size in (1, 2)
            for chosen in combinations(names, size)
            if any(cut_set <= set(chosen) for cut_set in cut_sets)
        }
        assert {causes for causes in weights(hypotheses) if causes} == expected


def fault_tree_of(hypotheses: Hypotheses, top: str) -> FaultTree:
    """The structure with every weak link open and the house events decided."""
    gates: dict[str, Votes] = {}
    for gate in hypotheses.structure.gates:
        true = [event for event, _ in gate.inputs if event in hypotheses.houses]
        rest = [
            event
            for event, _ in gate.inputs
            if event not in hypotheses.houses and event not in hypotheses.structure.houses
        ]
        gates[gate.event] = _votes(gate.needed - len(true), rest)
    return FaultTree(top, gates)


def _votes(needed: int, inputs: Sequence[str]) -> Votes:
    if needed > len(inputs):
        return Votes(1, ("never",))
    return Votes(max(needed, 1), tuple(inputs))


@pytest.mark.parametrize("complaint", ["kicks-back", "overheats"])
def test_a_third_cause_is_weighed_on_request(shipped: Library, complaint: str) -> None:
    machine = shipped.machines[MachineId("points-moped")]
    hypotheses = hypothesise(replace(shipped, brings={}), machine, [EventId(complaint)], order=3)
    sizes = (hypotheses.members >= 0).sum(axis=1)
    share = float(hypotheses.prior[sizes >= 2].sum())
    assert {1, 2, 3} <= set(sizes.tolist())
    settings = shipped.settings
    assert share == pytest.approx((1.0 - settings.unlisted_share) * settings.two_cause_share)


@given(
    st.lists(st.floats(0.01, 1e6), min_size=2, max_size=4),
    st.floats(0.001, 0.5),
)
def test_the_scale_gives_larger_sets_their_share(masses: list[float], share: float) -> None:
    scale = pair_scale(masses, share)
    larger = sum(mass * scale**power for power, mass in enumerate(masses[1:], start=1))
    assert larger / (masses[0] + larger) == pytest.approx(share, rel=1e-6)


def test_where_only_pairs_explain_the_complaint_nothing_is_scaled() -> None:
    assert pair_scale([0.0, 2.0], 0.06) == 1.0
    assert pair_scale([3.0, 0.0], 0.06) == 1.0


def test_a_complaint_persists_exactly_while_enough_of_its_causes_are_left(tiny: Library) -> None:
    hypotheses = hypothesise(tiny, tiny.machines[MOPED], [WILL_NOT_START])
    truth_bits = hypotheses.remaining != ENDED
    for row in range(hypotheses.count - UNLISTED):
        causes = hypotheses.causes_of(row)
        assert not truth_bits[row, 0]
        if len(causes) == 1:
            assert truth_bits[row, 1]
        else:
            assert truth_bits[row, 3]
