from __future__ import annotations

import pytest

from kickover.documents.model_wording import chance_words, condition_words, rate_words
from kickover.model.library import All, Any, Is, Not
from worlds.tree_library import cause, courier_library


@pytest.mark.parametrize(
    ("chance", "words"),
    [(0.3, "3 in 10"), (0.5, "5 in 10"), (0.25, "25 in 100"), (0.05, "5 in 100"), (0.123, "12 in 100"),
     (0.004, "4 in 1000"), (1 / 3, "33 in 100")],
)  # fmt: skip
def test_a_chance_reads_as_a_count_of_cases(chance: float, words: str) -> None:
    assert chance_words(chance) == words


def test_a_rate_shows_its_word_and_what_it_is_measured_by() -> None:
    assert rate_words(cause("a", 8, word="very-common")) == "very common (8 × occasional)"
    assert rate_words(cause("a", 1, word="occasional")) == "occasional"
    assert rate_words(cause("a", 2.5)) == "2.5 × occasional"


def test_a_condition_reads_as_a_sentence_part() -> None:
    condition = All((Is("two-stroke"), Not(Any((Is("rain"), Is("sump-oil"))))))
    assert (
        condition_words(courier_library(), condition) == "two-stroke and not (It was out in rain or sump oil)"
    )
