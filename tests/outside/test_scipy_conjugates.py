"""Learned chances and their intervals against SciPy's Beta and Dirichlet distributions."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kickover.inference.hypotheses import Floats
from kickover.learning.rates import LEAST, learn

shapes = st.lists(st.floats(0.05, 0.9), min_size=2, max_size=5).map(lambda one: np.array(one) / sum(one))


@given(shapes, st.lists(st.integers(0, 300), min_size=5, max_size=5), st.floats(1.0, 100.0))
def test_a_line_of_a_check_is_a_dirichlet(before: Floats, numbers: list[int], strength: float) -> None:
    counts = np.array(numbers[: len(before)], dtype=float)
    learned = learn(before, counts, strength)
    shape = strength * before + counts
    if (shape / shape.sum() >= LEAST).all():
        assert learned.mean == pytest.approx(stats.dirichlet.mean(shape))
    assert learned.mean.sum() == pytest.approx(1.0)
    assert (learned.mean >= LEAST - 1e-12).all()
    rest = shape.sum() - shape
    assert learned.low == pytest.approx(stats.beta.ppf(0.025, shape, rest), abs=1e-9)
    assert learned.high == pytest.approx(stats.beta.ppf(0.975, shape, rest), abs=1e-9)
