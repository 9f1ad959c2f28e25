"""From a rider's own words to complaints. Expected pairs: common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from kickover.model.library import Library
from kickover.session.own_words import matches

PHRASINGS = Path(__file__).with_name("phrasings.yaml")


def first(library: Library, words: str) -> str:
    found = matches(words, tuple(library.complaints.values()))
    return found[0].complaint.id if found else ""


@pytest.mark.parametrize(
    ("words", "complaint"),
    [
        ("wont start", "will-not-start"),
        ("It won't start!", "will-not-start"),
        ("dead", "will-not-start"),
        ("cranks but does not fire", "will-not-start"),
        ("bike won't start after winter", "will-not-start-after-storage"),
        ("doesnt start when cold", "will-not-start-cold"),
        ("hard to start in the morning", "will-not-start-cold"),
        ("will not restart after a stop", "will-not-start-hot"),
        ("wont start since I rebuilt the carb", "will-not-start-after-work"),
        ("no spark", "no-spark-seen"),
        ("starts and then dies", "starts-then-dies"),
        ("cuts out", "starts-then-dies"),
        ("dies when hot", "dies-when-hot"),
        ("keeps stalling at lights", "will-not-idle"),
        ("revs by itself", "races"),
        ("weak uphill", "no-power"),
        ("bogs down when I open the throttle", "bogs"),
        ("blue smoke", "smokes"),
        ("pops in the exhaust", "backfires"),
        ("bakfires", "backfires"),
        ("engine siezed", "hard-to-turn"),
        ("kick starter is stuck", "hard-to-turn"),
        ("gets too hot", "overheats"),
        ("kicks back at me", "kicks-back"),
        ("vibrtes", "vibrates"),
        ("shakes like mad", "vibrates"),
        ("bolts come loose", "comes-loose"),
        ("exhaust fell off", "comes-loose"),
        ("leaking petrol", "leaks-fuel"),
        ("smells of gas", "leaks-fuel"),
        ("chain is noisy", "drive-noise"),
        ("will-not-idle", "will-not-idle"),
    ],
)
def test_a_riders_words_find_the_complaint(shipped: Library, words: str, complaint: str) -> None:
    assert first(shipped, words) == complaint


@pytest.mark.parametrize("words", ["", "   ", "asdf qwer", "the and of", "🙂🙂", "1 2 3"])
def test_words_that_say_nothing_find_nothing(shipped: Library, words: str) -> None:
    assert first(shipped, words) == ""


def test_riders_of_several_countries_are_understood(shipped: Library) -> None:
    said = [
        (words, complaint)
        for complaint, phrasings in yaml.safe_load(PHRASINGS.read_text(encoding="utf-8")).items()
        for words in phrasings
        if complaint in shipped.complaints
    ]
    assert len(said) >= 150
    found = [(complaint, places(shipped, words)) for words, complaint in said]
    assert sum(known[:1] == [complaint] for complaint, known in found) >= 0.85 * len(said)
    assert sum(complaint in known[:3] for complaint, known in found) >= 0.95 * len(said)


def places(library: Library, words: str) -> list[str]:
    return [match_.complaint.id for match_ in matches(words, tuple(library.complaints.values()))]


def test_every_complaint_is_found_by_its_title_and_by_each_of_its_words(shipped: Library) -> None:
    complaints = tuple(shipped.complaints.values())
    for complaint in complaints:
        assert first(shipped, complaint.title) == complaint.id
        for words in complaint.words:
            assert complaint.id in {match_.complaint.id for match_ in matches(words, complaints)[:4]}, words


def test_the_order_of_the_complaints_does_not_matter(shipped: Library) -> None:
    complaints = list(shipped.complaints.values())
    forwards = [(match_.complaint.id, match_.score) for match_ in matches("wont start hot", complaints)]
    backwards = [
        (match_.complaint.id, match_.score) for match_ in matches("wont start hot", complaints[::-1])
    ]
    assert forwards == backwards
