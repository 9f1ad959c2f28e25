"""A rider's own instrument: how it is said, how it widens a reading, and that it is kept and shown."""

from __future__ import annotations

from math import erf, hypot, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import CheckId, EventId, MachineId
from kickover.inference.soft_evidence import Sureness, standard_error
from kickover.model.library import Check, Library, Reading
from kickover.session.entries import Chose, Measured, from_data, to_data
from kickover.session.history import entry_in_words
from kickover.session.instrument import Instrument, split_instrument
from kickover.session.interpreting import MisreadError, interpret
from kickover.session.session import Session, begin
from kickover.ui.asking import how_page
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input


@pytest.fixture(scope="module")
def gauge(yard: Library) -> Check:
    return yard.checks[CheckId("compression")]


def reading_of(check: Check) -> Reading:
    assert check.reading is not None
    return check.reading


@pytest.fixture(scope="module")
def asked(yard: Library) -> Session:
    """A walk that asks for the compression."""
    walk = begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])
    session = walk.record(Chose("compression"))
    while session.task().id != "compression":
        session = handle_input(Dialogue(session), "1").session
    return session


@pytest.mark.parametrize(
    ("said", "left", "share"),
    [
        ("62 psi rough", "62 psi", None),
        ("62 psi, rough gauge", "62 psi", None),
        ("4.3bar with a cheap gauge", "4.3bar", None),
        ("4.3bar with: cheap gauge", "4.3bar", None),
        ("4.3 bar my gauge is rough", "4.3 bar", None),
        ("4.3 bar rough 20%", "4.3 bar", 0.2),
        ("4.3 bar rough about 7,5 percent", "4.3 bar", 0.075),
        ("60-70 psi within 1 %", "60-70 psi", 0.01),
        ("rough", "", None),
        ("4 bar rough " + "9" * 390 + "%", "4 bar", 1.0),
    ],
)
def test_an_instrument_is_named_after_the_reading(said: str, left: str, share: float | None) -> None:
    assert split_instrument(said) == (left, Instrument(share))


@pytest.mark.parametrize("said", ["62 psi", "60-70 psi", "4.3bar", "OL", "0,4 kΩ", "through the roughage 3"])
def test_a_reading_alone_names_no_instrument(said: str) -> None:
    assert split_instrument(said) == (said, None)


@given(value=st.floats(0.0, 20.0))
def test_a_rough_instrument_is_never_better_than_the_one_reckoned_with(yard: Library, value: float) -> None:
    reading = reading_of(yard.checks[CheckId("compression")])
    assert Instrument().error(reading, value) >= 2.0 * standard_error(reading, value)
    assert Instrument().error(reading, value) >= 0.1 * value


def test_the_wider_error_spreads_the_reading_over_the_bands(
    yard: Library, asked: Session, gauge: Check
) -> None:
    edge = asked.model.edges[gauge.id][0]
    value = 0.9 * edge
    rough = interpret(gauge, f"{value} bar rough 20%")
    assert isinstance(rough, Measured)
    fixed = reading_of(gauge).error_fixed.within("bar")
    spread = hypot(0.2 * value, fixed)
    below = 0.5 * (1.0 + erf((edge - value) / (spread * sqrt(2.0))))
    assert asked.weights_of(rough)[0] == pytest.approx(below)
    assert asked.weights_of(rough)[0] < asked.weights_of(Measured(gauge.id, value, value))[0]


def test_two_instruments_count_with_the_root_mean_square_of_their_errors(
    asked: Session, gauge: Check
) -> None:
    value = 0.9 * asked.model.edges[gauge.id][0]
    both = asked.replayed(
        [Measured(gauge.id, value, value, error=0.3), Measured(gauge.id, value, value, error=0.4)]
    )
    same = [Measured(gauge.id, value, value, error=sqrt(0.125))] * 2
    assert both.evidence[-1].weights == pytest.approx(asked.replayed(same).evidence[-1].weights)


def test_it_can_be_said_before_the_reading(asked: Session) -> None:
    waiting = handle_input(Dialogue(asked), "my gauge is rough")
    assert waiting.session is asked
    assert "own instrument" in waiting.message
    taken = handle_input(waiting, "4 bar").session.entries[-1]
    assert taken == handle_input(Dialogue(asked), "4 bar rough").session.entries[-1]
    assert isinstance(taken, Measured)
    assert taken.error == pytest.approx(0.4)


def test_rough_without_a_reading_is_questioned_where_only_a_reading_will_do(gauge: Check) -> None:
    with pytest.raises(MisreadError, match="type the reading first"):
        interpret(gauge, "rough")


def test_it_is_kept_and_shown_and_older_journals_go_without(asked: Session) -> None:
    entry = Measured("compression", 4.0, 4.0, Sureness.SURE, "", 0.4)
    assert from_data(to_data(entry)) == entry
    older = {name: value for name, value in to_data(entry).items() if name != "error"}
    assert from_data(older) == Measured("compression", 4.0, 4.0)
    words = entry_in_words(asked, entry).replace("\u00a0", " ")
    assert words == "Compression: 4 bar (58 psi), own instrument, give or take 0.4 bar"


def test_the_page_of_how_says_how_good_the_instrument_is_taken_to_be(asked: Session) -> None:
    facts = " ".join(how_page(asked, asked.task()).facts).replace("\u00a0", " ")
    assert "Taken to be right within about 5 %; on a poor instrument add the word rough." in facts


def test_help_tells_of_it(asked: Session) -> None:
    choices = handle_input(Dialogue(asked), "help").screen().choices
    assert any("rough" in choice.key for choice in choices)


def test_where_nothing_is_read_off_an_instrument_is_named_in_vain(yard: Library) -> None:
    walk = begin(yard, yard.machines[MachineId("moped")], [EventId("will-not-start")])
    chosen = Dialogue(walk.record(Chose("tap-look")))
    reply = handle_input(chosen, "my gauge is rough")
    assert reply.session is chosen.session
    assert "where a reading is asked for" in reply.message
