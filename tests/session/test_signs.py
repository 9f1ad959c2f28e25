"""What a rider volunteers, in own words. Expected pairs: common practice, no source."""

from __future__ import annotations

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.inference.compiled_model import compile_model
from kickover.model.library import Library
from kickover.session.own_words import signs, situation


@pytest.mark.parametrize(
    ("words", "finding"),
    [
        ("fuel drips from the bowl", "leak-look=bowl-joint"),
        ("plug is wet", "plug-look=wet-fuel"),
        ("the plug is black and sooty", "plug-look=black-soot"),
        ("air filter is dirty", "air-filter-look=clogged"),
        ("water in the float bowl", "bowl-drain=water"),
        ("tap was shut", "look-round-first=tap-shut"),
        ("the fuel hose is kinked", "hose-look=kinked"),
        ("blue smoke", "smoke-colour=blue"),
        ("plug gap closed up", "plug-close-look=bridged"),
    ],
)
def test_what_was_seen_is_a_finding(shipped: Library, words: str, finding: str) -> None:
    machine = shipped.machines[MachineId("clip-on-two-stroke")]
    model = compile_model(shipped, machine, [EventId("will-not-start")])
    found = signs(words, tuple(model.checks.values()))
    assert finding in [f"{sign.check.id}={sign.finding.id}" for sign in found]
    assert len(found) <= 3


@pytest.mark.parametrize("words", ["", "hello", "the and of", "🙂", "12"])
def test_words_that_say_nothing_are_no_sign(shipped: Library, words: str) -> None:
    assert signs(words, tuple(shipped.checks.values())) == ()


@pytest.mark.parametrize(
    ("words", "event"),
    [
        ("dies when hot", "engine-hot"),
        ("won't start after rain", "rain-or-wash"),
        ("it stood over the winter", "stood-months"),
        ("wont start since it fell over", "fell-over"),
        ("i washed it yesterday", "rain-or-wash"),
        ("old fuel in the tank", "old-fuel"),
    ],
)
def test_the_situation_is_understood(shipped: Library, words: str, event: str) -> None:
    assert event in situation(words, shipped.houses.values())


def test_what_is_denied_is_not_the_situation(shipped: Library) -> None:
    assert situation("it is not hot", shipped.houses.values()) == ()


def test_words_fit_nothing_where_nothing_can_be_seen() -> None:
    assert signs("the plug is wet", ()) == ()
