"""Evaluating a tree under many hypotheses at once."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import EventId, MachineId, TraitId
from kickover.model.library import ALWAYS, All, Any, Condition, Is, Library, Not, holds
from kickover.model.truth import Bits, at_least, evaluate, structure_of, where

MOPED = MachineId("moped")
WILL_NOT_START = EventId("will-not-start")


def packed(*truths: bool) -> Bits:
    return np.packbits(np.array(truths))


@given(st.lists(st.lists(st.booleans(), min_size=11, max_size=11), min_size=1, max_size=6), st.integers(1, 6))
def test_a_gate_counts_its_true_inputs(lines: list[list[bool]], needed: int) -> None:
    none, everyone = np.zeros(2, dtype=np.uint8), np.full(2, 255, dtype=np.uint8)
    result = at_least(needed, [packed(*line) for line in lines], none, everyone)
    expected = [sum(column) >= needed for column in zip(*lines, strict=True)]
    assert np.unpackbits(result, count=11).astype(bool).tolist() == expected


conditions = st.recursive(
    st.sampled_from(["a", "b", "c"]).map(Is),
    lambda inner: st.one_of(
        inner.map(Not),
        st.lists(inner, max_size=3).map(lambda parts: All(tuple(parts))),
        st.lists(inner, max_size=3).map(lambda parts: Any(tuple(parts))),
    ),
    max_leaves=8,
)


@given(conditions)
def test_a_condition_over_many_hypotheses_is_the_condition_over_each(condition: Condition) -> None:
    worlds = list(product([False, True], repeat=3))
    table = {name: packed(*(world[place] for world in worlds)) for place, name in enumerate("abc")}
    together = np.unpackbits(where(condition, lambda name: table[name], 1), count=8).astype(bool)
    for world, result in zip(worlds, together, strict=True):
        assert holds(condition, dict(zip("abc", world, strict=True)).__getitem__) == result


def test_the_empty_condition_always_holds() -> None:
    assert holds(ALWAYS, lambda _name: False)


def test_what_a_machine_cannot_have_is_left_out(tiny: Library) -> None:
    moped = tiny.machines[MOPED]
    structure = structure_of(tiny, moped, [WILL_NOT_START], [])
    assert set(structure.causes) == {"plug-fouled", "switch-shorted", "rings-worn"}
    without_wire = replace(moped, traits=frozenset({TraitId("two-stroke")}))
    assert set(structure_of(tiny, without_wire, [WILL_NOT_START], []).causes) == {"plug-fouled", "rings-worn"}


def test_inputs_come_before_the_gates_that_use_them(shipped: Library) -> None:
    for machine in shipped.machines.values():
        structure = structure_of(shipped, machine, [WILL_NOT_START], [])
        known = set(structure.causes) | set(structure.houses)
        for gate in structure.gates:
            assert known.issuperset(event for event, _ in gate.inputs), gate.event
            known.add(gate.event)


@pytest.mark.parametrize(
    ("cold", "opened", "expected"), [(True, True, True), (True, False, False), (False, True, False)]
)
def test_a_weak_link_and_a_house_event_both_have_to_let_it_through(
    tiny: Library, cold: bool, opened: bool, expected: bool
) -> None:
    structure = structure_of(tiny, tiny.machines[MOPED], [WILL_NOT_START], [])
    causes = {cause: packed(cause == "rings-worn") for cause in structure.causes}
    houses = {EventId("engine-cold")} if cold else set()
    truth = evaluate(structure, causes, [packed(opened)], houses, {}, 1)
    assert bool(np.unpackbits(truth[WILL_NOT_START])[0]) == expected
