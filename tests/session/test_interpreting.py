"""What people type as an answer: choices, readings, ranges, how sure they are; and what is questioned."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.core.ids import CheckId
from kickover.core.problem import KickoverError
from kickover.inference.soft_evidence import Sureness
from kickover.model.library import Check, CheckKind, Library
from kickover.session.entries import Answered, Measured
from kickover.session.interpreting import MisreadError, interpret
from kickover.ui.commands import COMMANDS


def check(library: Library, name: str) -> Check:
    return library.checks[CheckId(name)]


@pytest.mark.parametrize(
    ("said", "finding", "sureness"),
    [
        ("1", "strong", Sureness.SURE),
        ("weak", "weak", Sureness.SURE),
        ("  NONE  ", "none", Sureness.SURE),
        ("none at", "none", Sureness.SURE),
        ("2 guess", "weak", Sureness.GUESS),
        ("weak~fairly", "weak", Sureness.FAIRLY),
        ("weak, maybe", "weak", Sureness.GUESS),
        ("weak?", "weak", Sureness.GUESS),
        ("weak i think so", "weak", Sureness.SURE),
    ],
)
def test_a_choice_is_taken_by_number_or_word(
    yard: Library, said: str, finding: str, sureness: Sureness
) -> None:
    if said.endswith("i think so"):
        with pytest.raises(MisreadError, match="none of the choices"):
            interpret(check(yard, "spark-at-plug"), said)
    else:
        assert interpret(check(yard, "spark-at-plug"), said) == Answered("spark-at-plug", finding, sureness)


@pytest.mark.parametrize("said", ["y", "yes", "Yeah", "1"])
def test_yes_is_understood_in_many_ways(yard: Library, said: str) -> None:
    assert interpret(check(yard, "choke-look"), said) == Answered("choke-look", "yes")


def test_an_authors_own_words_for_a_finding_count(yard: Library) -> None:
    assert interpret(check(yard, "chain-look"), "slack") == Answered("chain-look", "loose")


def test_a_misspelt_choice_gets_the_near_one(yard: Library) -> None:
    with pytest.raises(MisreadError, match="did you mean strong"):
        interpret(check(yard, "spark-at-plug"), "strnog")


def test_a_number_past_the_last_choice_is_questioned(yard: Library) -> None:
    with pytest.raises(MisreadError, match="there is no choice 4; the choices are 1 to 3"):
        interpret(check(yard, "spark-at-plug"), "4")


@pytest.mark.parametrize(
    ("said", "low", "high"),
    [
        ("6.2 bar", 6.2, 6.2),
        ("6,2", 6.2, 6.2),
        ("90 psi", 6.205, 6.205),
        ("620kPa", 6.2, 6.2),
        ("6-7", 6.0, 7.0),
        ("between 60 and 70 psi", 4.137, 4.826),
        ("60 to 70 psi guess", 4.137, 4.826),
        ("over 8 bar", 8.0, 20.0),
        ("less than 1 bar", 0.0, 1.0),
        ("< 1", 0.0, 1.0),
    ],
)
def test_a_reading_is_taken_with_its_unit_or_as_a_range(
    yard: Library, said: str, low: float, high: float
) -> None:
    entry = interpret(check(yard, "compression"), said)
    assert isinstance(entry, Measured)
    assert (entry.low, entry.high) == pytest.approx((low, high), abs=2e-3)
    assert entry.sureness is (Sureness.GUESS if "guess" in said else Sureness.SURE)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("900 psi", "cannot be: a reading here lies between"),
        ("-3 bar", "cannot be"),
        ("6.2 ohm", "is a resistance, and a pressure is wanted"),
        ("rather low-ish", "is not a reading; type a number with its unit, such as 8 bar"),
        ("1,200 kPa", "can mean"),
        ("", "nothing was answered"),
    ],
)
def test_a_reading_that_cannot_be_is_questioned_not_taken(yard: Library, said: str, why: str) -> None:
    with pytest.raises(MisreadError, match=why):
        interpret(check(yard, "compression"), said)


def test_a_band_can_be_named_instead_of_a_reading(yard: Library) -> None:
    assert interpret(check(yard, "compression"), "low") == Answered("compression", "low")


@pytest.mark.parametrize("said", ["OL", "o.l.", "∞", "infinity", "over range", "open circuit"])
def test_a_meter_that_shows_no_number_means_the_last_band(yard: Library, said: str) -> None:
    assert interpret(check(yard, "coil-ohms"), said) == Answered("coil-ohms", "open")


def test_over_range_says_nothing_on_a_pressure_gauge(yard: Library) -> None:
    with pytest.raises(MisreadError, match="over range says nothing here"):
        interpret(check(yard, "compression"), "OL")


@pytest.mark.filterwarnings("ignore:Generating overly large repr")
@given(text=st.text(max_size=120))
def test_any_text_is_taken_or_questioned_in_one_line(yard: Library, text: str) -> None:
    for name in ("spark-at-plug", "choke-look", "compression", "coil-ohms"):
        with suppress(KickoverError):
            assert interpret(check(yard, name), text).check == name


def test_no_finding_of_the_shipped_library_takes_a_word_without_which_there_is_no_way_out(
    shipped: Library,
) -> None:
    words = {
        word
        for one in shipped.checks.values()
        for finding in one.findings
        for word in (finding.id, *finding.words)
    }
    assert len(words) > 200
    assert words & COMMANDS.keys() <= {"hot", "cold", "again", "off"}


def test_capitals_of_units_count(yard: Library) -> None:
    entry = interpret(check(yard, "coil-ohms"), "0.02 MΩ")
    assert isinstance(entry, Measured)
    assert entry.low == pytest.approx(20_000)


def test_every_reading_of_the_shipped_library_takes_its_own_unit(shipped: Library) -> None:
    readings = [one for one in shipped.checks.values() if one.kind is CheckKind.MEASURE and one.reading]
    assert len(readings) >= 10
    for reading in readings:
        assert reading.reading is not None
        middle = (
            reading.reading.least.within(reading.reading.unit)
            + reading.reading.most.within(reading.reading.unit)
        ) / 2
        entry = interpret(reading, f"{middle:.6g} {reading.reading.unit}")
        assert isinstance(entry, Measured)


def test_every_finding_is_named_by_its_id(shipped: Library) -> None:
    for check in shipped.checks.values():
        for finding in check.findings:
            assert interpret(check, finding.id) == Answered(check.id, finding.id), f"{check.id}: {finding.id}"
