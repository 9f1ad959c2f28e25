"""How a walk ends: cured with what keeps it so, or stopped with the way home; and when nobody may ride."""

from __future__ import annotations

from kickover.core.ids import EventId, ItemId, MachineId
from kickover.model.library import Library
from kickover.session.entries import Answered, Cannot, GaveUp, Prepared, Proved, Repaired
from kickover.session.outcome import LOCAL_RULES, must_not_ride, standing_stops
from kickover.session.session import Phase, Session, Task, begin
from kickover.ui.asking import step_screen
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.pages import caution_page


def started(library: Library, complaint: str, kit: frozenset[ItemId] | None = None) -> Session:
    return begin(library, library.machines[MachineId("moped")], [EventId(complaint)], kit=kit)


def text_of(session: Session) -> str:
    screen = Dialogue(session).screen()
    return "\n".join([screen.heading, screen.lead, *screen.stops, *screen.body])


def with_loose_chain(library: Library) -> Session:
    return started(library, "no-power").record(Answered("chain-look", "loose"))


def test_a_cure_tells_cause_repair_prevention_and_kit(yard: Library) -> None:
    session = with_loose_chain(yard).record(Repaired("new-chain")).record(Proved(gone=True))
    text = text_of(session)
    for words in (
        "It is cured",
        "The cause: chain loose.",
        "What was done: fit a new chain.",
        "does not come back: Look at it each week.",
        "does not come back: Oil it.",
        "Keep in the kit: chain.",
        LOCAL_RULES,
    ):
        assert words in text
    assert "STOP" not in text


def test_a_roadside_cure_names_the_lasting_repair_and_what_it_needs(yard: Library) -> None:
    session = with_loose_chain(yard).record(Repaired("hitch-chain")).record(Proved(gone=True))
    text = text_of(session)
    assert "At the bench, the lasting repair: fit a new chain, 20 minutes, with chain." in text
    assert "It lasts: a ride home." in text
    assert "Do not ride it before the lasting repair" in text


def test_a_stop_stands_until_its_cause_is_cured(yard: Library) -> None:
    loose = with_loose_chain(yard)
    assert standing_stops(loose) == ("Do not ride: the chain can lock the wheel.",)
    assert standing_stops(loose.record(Repaired("new-gasket")))
    assert standing_stops(loose.record(Repaired("new-chain"))) == ()
    mended = loose.record(Repaired("new-chain")).record(Proved(gone=True))
    assert standing_stops(mended) == ()
    assert not must_not_ride(mended)


def test_a_check_made_again_lifts_its_stop(yard: Library) -> None:
    session = with_loose_chain(yard)
    for _ in range(3):
        session = session.record(Answered("chain-look", "right"))
    assert standing_stops(session) == ()


def test_giving_up_with_a_loose_chain_says_not_to_ride(yard: Library) -> None:
    text = text_of(with_loose_chain(yard).record(GaveUp()))
    assert "It must not be ridden as it is. It may be this: chain loose." in text


def test_giving_up_otherwise_says_how_to_get_home(yard: Library) -> None:
    session = started(yard, "will-not-start").record(GaveUp())
    assert "To get home: push it" in text_of(session)
    assert not must_not_ride(session)


def test_a_clip_on_can_be_pedalled_home(shipped: Library) -> None:
    machine = shipped.machines[MachineId("clip-on-two-stroke")]
    session = begin(shipped, machine, [EventId("will-not-start")]).record(GaveUp())
    assert "pedal it with the fuel tap shut" in text_of(session)


def test_a_repair_that_could_not_be_proven_is_named(yard: Library) -> None:
    session = with_loose_chain(yard).record(Repaired("new-chain")).record(Cannot("brakes-looked-over"))
    text = text_of(session)
    assert "made but not proven: fit a new chain" in text
    assert "must not be ridden" in text


def test_what_could_be_borrowed_is_told_before_giving_up(yard: Library) -> None:
    session = started(yard, "smokes", frozenset())
    screen = step_screen(session, Task(Phase.GIVE_UP, "give-up", 1.0))
    assert "If you can borrow gauge: compression." in screen.body
    assert [choice.label for choice in screen.choices] == ["Stop here"]


def test_a_repair_offers_its_other_ways_with_what_they_need(yard: Library) -> None:
    kit = frozenset({ItemId("socket")})
    session = started(yard, "no-power", kit).record(Answered("chain-look", "loose"))
    screen = Dialogue(session).screen()
    assert screen.lead == "Hitch the chain up."
    assert screen.heading.startswith("Roadside repair")
    assert "There is another way to mend it: type other." in screen.facts
    ways = handle_input(Dialogue(session), "other").screen().body
    assert ways == ("Or (lasting): fit a new chain, 20 minutes; not at hand: chain.",)


def test_the_look_over_can_show_that_something_is_wrong(yard: Library) -> None:
    session = with_loose_chain(yard).record(Repaired("new-chain"))
    labels = [choice.label for choice in Dialogue(session).screen().choices]
    assert labels == ["Done, and all is well", "Something is wrong, or cannot do it"]
    ready = session.record(Prepared("brakes-looked-over", undone=False))
    screen = Dialogue(ready).screen()
    assert screen.reminder == "Mind: road."
    assert caution_page(ready, ready.task()).cautions[0] == "Helmet on."


def test_a_stop_stands_although_another_repair_has_cured_the_complaint(yard: Library) -> None:
    session = with_loose_chain(yard).replayed([Repaired("new-gasket"), Proved(gone=True)])
    assert session.mended == "new-gasket"
    assert any("chain" in stop for stop in standing_stops(session))
