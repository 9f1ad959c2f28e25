"""A repair says the numbers of this machine, not that the machine has some."""

from __future__ import annotations

import re

from kickover.core.ids import EventId, FigureId, MachineId
from kickover.model.library import Library, Repair
from kickover.session.entries import Chose, Prepared, Repaired
from kickover.session.session import Session, begin
from kickover.session.wording import figures_in_words
from kickover.ui.asking import step_screen

SPEAKS_OF_ONE = re.compile(
    r"\b(?:to|at|by|the last to|than|within|from) (?:its|their|the) figure(?! on the)|machine's figure"
)


def words_of(repair: Repair) -> str:
    return " ".join((repair.torque, *repair.how))


def walk_on(library: Library, machine: str) -> Session:
    return begin(library, library.machines[MachineId(machine)], [EventId("will-not-start")])


def test_a_stated_figure_is_of_this_machine_and_an_assumed_one_is_usual(shipped: Library) -> None:
    figures = [FigureId("plug-torque"), FigureId("plug-gap")]
    stated = figures_in_words(shipped, shipped.machines[MachineId("points-moped")], figures)
    usual = figures_in_words(shipped, shipped.machines[MachineId("unknown-two-stroke")], figures)
    assert stated == (
        "Spark plug: 24 N·m (18 ft·lb) on this machine.",
        "Plug gap: 0.5 mm (0.02 in) on this machine.",
    )
    assert usual[0] == "Spark plug: 25 N·m (18 ft·lb) is usual; the maker's figure goes before it."


def test_the_screen_of_a_repair_shows_the_figures_that_it_is_finished_to(shipped: Library) -> None:
    walk = walk_on(shipped, "points-moped").replayed(
        [Prepared("plug-cap-off", False), Prepared("plug-out", False), Chose("fit-new-plug")]
    )
    facts = step_screen(walk, walk.task()).facts
    assert "Spark plug: 24 N·m (18 ft·lb) on this machine." in facts


def test_what_is_put_back_shows_its_torque_and_what_is_taken_off_does_not(shipped: Library) -> None:
    walk = walk_on(shipped, "points-moped")
    taking = walk.replayed([Prepared("plug-cap-off", False), Chose("fit-new-plug")])
    assert step_screen(taking, taking.task()).lead == "Plug out."
    assert not any("on this machine" in fact for fact in step_screen(taking, taking.task()).facts)
    back = taking.replayed([Prepared("plug-out", False), Repaired("fit-new-plug")])
    assert step_screen(back, back.task()).lead == "Fit the plug again."
    assert any("on this machine" in fact for fact in step_screen(back, back.task()).facts)


def test_no_repair_names_a_figure_by_its_id(shipped: Library) -> None:
    ids = [figure for figure in shipped.figures if "-" in figure]
    named = [repair.id for repair in shipped.repairs.values() if any(id_ in words_of(repair) for id_ in ids)]
    assert named == []


def test_every_repair_that_speaks_of_the_figure_shows_it(shipped: Library) -> None:
    silent = [
        repair.id
        for repair in shipped.repairs.values()
        if SPEAKS_OF_ONE.search(words_of(repair)) and not repair.figures
    ]
    assert silent == []


def test_units_keep_their_capitals_in_what_is_needed(shipped: Library) -> None:
    walk = walk_on(shipped, "points-moped").record(Chose("torque-head"))
    facts = " ".join(step_screen(walk, walk.task()).facts)
    assert "Torque wrench" not in facts
    assert "torque wrench 5 to 60 N·m" in facts
