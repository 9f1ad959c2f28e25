"""Chance that can be repeated."""

from __future__ import annotations

from collections import Counter
from hashlib import sha256
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.training.hidden_engine import drawn, normal, uniform


@given(st.lists(st.integers() | st.text(), max_size=5))
def test_luck_lies_between_0_and_1_and_is_the_same_every_time(matter: list[object]) -> None:
    assert 0.0 < uniform(*matter) < 1.0
    assert uniform(*matter) == uniform(*matter)


def test_luck_is_the_digest_of_its_matter_read_as_a_fraction() -> None:
    digest = sha256(b"7/plug-look/0").digest()
    assert uniform(7, "plug-look", 0) == pytest.approx(int.from_bytes(digest[:8], "big") / 2**64, abs=2**-52)


def test_drawing_follows_the_weights_and_never_takes_what_weighs_nothing() -> None:
    weights = [0.0, 3.0, 1.0, 0.0]
    counts = Counter(drawn(weights, seed) for seed in range(4000))
    assert set(counts) == {1, 2}
    assert abs(counts[1] / 4000 - 0.75) < 4 * sqrt(0.75 * 0.25 / 4000)


def test_normal_luck_has_mean_0_and_spread_1() -> None:
    values = [normal(seed, "gauge") for seed in range(4000)]
    mean = sum(values) / len(values)
    spread = sqrt(sum((value - mean) ** 2 for value in values) / len(values))
    assert abs(mean) < 4 / sqrt(4000)
    assert abs(spread - 1.0) < 4 / sqrt(2 * 4000)
