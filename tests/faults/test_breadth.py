"""How much the shipped library holds, and that nothing in it is left half said."""

from __future__ import annotations

import pytest

from kickover.model.library import CheckKind, names_in
from worlds.shipped_library import shipped

LIBRARY = shipped()


def causes_in(*files: str) -> int:
    return sum(any(part in str(cause.place.file) for part in files) for cause in LIBRARY.causes.values())


@pytest.mark.parametrize(
    ("least", "files"),
    [
        (30, ("ignition/",)),
        (40, ("fuel/",)),
        (
            25,
            (
                "compression/bottom-end",
                "compression/top-end",
                "compression/valves",
                "compression/heat-and-oil",
            ),
        ),
        (10, ("compression/exhaust", "compression/starting-gear")),
        (25, ("vibration/",)),
    ],
)
def test_each_group_has_enough_causes(least: int, files: tuple[str, ...]) -> None:
    assert causes_in(*files) >= least


def test_there_are_enough_causes_checks_measurements_and_complaints() -> None:
    measured = [check for check in LIBRARY.checks.values() if check.kind is CheckKind.MEASURE]

    assert len(LIBRARY.causes) >= 130
    assert len(LIBRARY.checks) >= 95
    assert len(measured) >= 40
    assert len(LIBRARY.complaints) >= 16


@pytest.mark.parametrize("trait", list(LIBRARY.traits))
def test_each_trait_is_had_by_a_machine(trait: str) -> None:
    assert any(trait in machine.traits for machine in LIBRARY.machines.values())


def test_gates_of_all_three_kinds_are_used_in_each_room() -> None:
    for room in ("ignition", "fuel", "compression", "vibration"):
        here = [gate for gate in LIBRARY.gates.values() if f"{room}/" in str(gate.place.file)]
        assert any(gate.needed == 1 for gate in here)
        assert any(gate.mark == "&" for gate in here)
        assert any("/" in gate.mark for gate in here), room


@pytest.mark.parametrize("house", list(LIBRARY.houses))
def test_each_situation_shifts_a_rate_or_switches_a_gate_or_a_check(house: str) -> None:
    shifts = any(house in cause.factors for cause in LIBRARY.causes.values())
    switches = any(house == line.event for gate in LIBRARY.gates.values() for line in gate.inputs)
    asked_for = any(house in names_in(check.needs.only_when) for check in LIBRARY.checks.values())

    assert shifts or switches or asked_for


def test_every_measurement_says_how_and_with_what_error_and_where_its_limits_come_from() -> None:
    for check in LIBRARY.checks.values():
        if check.reading is not None:
            assert check.how, check.id
            assert check.sources, check.id
            assert check.reading.error_share > 0 or check.reading.error_fixed.value > 0, check.id


def test_every_cause_has_a_lasting_repair() -> None:
    lasting = {cause for repair in LIBRARY.repairs.values() if not repair.roadside for cause in repair.cures}

    assert set(LIBRARY.causes) - lasting == set()


def test_every_cause_says_what_keeps_it_from_coming_back() -> None:
    silent = [cause.id for cause in LIBRARY.causes.values() if not cause.prevention]

    assert silent == []


def test_a_repair_done_with_a_torque_wrench_names_the_torque() -> None:
    silent = [
        repair.id
        for repair in LIBRARY.repairs.values()
        if "torque-wrench" in repair.needs.tools and not repair.torque
    ]

    assert silent == []


def test_a_repair_with_locking_compound_or_locking_nuts_says_how_they_are_used() -> None:
    silent = [
        repair.id
        for repair in LIBRARY.repairs.values()
        if {"threadlocker", "locking-nuts"} & set(repair.needs.spares) and not repair.locking
    ]

    assert silent == []


def test_every_setup_that_is_undone_has_words_for_it() -> None:
    silent = [
        setup.id
        for setup in LIBRARY.setups.values()
        if setup.undo and not setup.danger and not setup.put_back
    ]

    assert silent == []
