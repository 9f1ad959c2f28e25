"""What has to be carried for a cause: the rule for repairs, for finding, and for setups under both."""

from __future__ import annotations

from dataclasses import replace

from kickover.core.ids import ItemId, RepairId
from kickover.model.library import Needs
from kickover.packing.coverings import Covering, coverings, items_of
from kickover.packing.strandings import strandings
from worlds.packing_library import library, machine, packer

TAPE = RepairId("tape-switch")
GLOVE, SPANNER = ItemId("glove"), ItemId("spanner")


def covering(cause: str, quick: float = 45.0) -> Covering:
    return next(one for one in packer(quick).coverings if one.cause == cause)


def sets(cause: str, quick: float = 45.0) -> list[tuple[str, list[str]]]:
    return [(way.repair, sorted(way.items)) for way in covering(cause, quick).ways]


def test_the_tools_of_a_setup_belong_to_what_is_carried() -> None:
    assert items_of(library(), library().repairs["new-plug"].needs) == {"plug", "socket"}  # type: ignore[index]
    assert items_of(library(), Needs(1.0)) == frozenset()


def test_a_quick_repair_is_tried_on_suspicion() -> None:
    assert sets("plug-fouled") == [("new-plug", ["plug", "socket"])]


def test_a_longer_repair_needs_a_check_that_speaks_for_the_cause() -> None:
    """The axle is felt with a glove on; nothing else tells it from the rest."""
    assert sets("axle-loose") == [("tighten-axle", ["glove", "spanner"])]


def test_a_lasting_repair_that_takes_too_long_is_no_way_home() -> None:
    assert sets("rings-worn") == []
    assert sets("axle-loose", quick=15) == []


def test_a_roadside_repair_may_take_its_time_when_a_free_check_finds_the_fault() -> None:
    assert ("tape-switch", ["tape"]) not in sets("switch-shorted")
    assert sets("switch-shorted") == [("new-switch", [])]


def test_ways_that_need_more_and_take_longer_are_left_out() -> None:
    for one in packer().coverings:
        for way in one.ways:
            others = [other for other in one.ways if other is not way]
            assert not any(other.items <= way.items and other.minutes <= way.minutes for other in others)


def test_a_repair_after_which_it_is_pushed_is_no_way_home() -> None:
    known = library().repairs[TAPE]
    tape = replace(known, on_foot=True, needs=replace(known.needs, minutes=1))
    other = {one: repair for one, repair in library().repairs.items() if "switch-shorted" not in repair.cures}
    pushed = replace(library(), repairs={**other, TAPE: tape})
    found = coverings(pushed, machine(), strandings(pushed, machine()))

    assert next(one for one in found if one.cause == "switch-shorted").ways == ()


def test_an_item_does_in_place_of_those_that_it_serves_as() -> None:
    """A pair of gloves that also turns nuts needs no spanner beside it."""
    glove = replace(library().items[GLOVE], serves_as=(SPANNER,))
    served = replace(library(), items={**library().items, GLOVE: glove})
    ways = coverings(served, machine(), strandings(served, machine()))
    axle = next(one for one in ways if one.cause == "axle-loose")

    assert served.served_by({GLOVE}) == {GLOVE, SPANNER}
    assert [sorted(way.items) for way in axle.ways] == [["glove"]]


def test_the_quickest_way_with_what_is_carried_is_taken() -> None:
    plug = covering("plug-fouled")
    assert plug.quickest(frozenset({"plug"})) is None  # type: ignore[arg-type]
    way = plug.quickest(frozenset({"plug", "socket"}))  # type: ignore[arg-type]
    assert way is not None
    assert way.minutes == 3 + 5 + 1
