"""Rates learned from counts are the posterior of the model, whatever the complaints let through."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kickover.inference.hypotheses import Floats
from kickover.learning.rates import Alike, Counts, GammaPrior, draw_rates, linked, prior_worth, shares


def alone(ground: int, *numbers: int) -> tuple[Alike, ...]:
    return tuple(Alike(ground, (cause,), (1.0,), float(number)) for cause, number in enumerate(numbers))


def by_summing_up(prior: GammaPrior, log_likelihood_of_shares: object, steps: int = 400) -> Floats:
    """Posterior means of three rates that sum to the prior sum, by a fine grid over their proportions."""
    assert callable(log_likelihood_of_shares)
    edge = (np.arange(steps) + 0.5) / steps
    first, second = np.meshgrid(edge, edge)
    inside = first + second < 1.0
    p = np.stack([first[inside], second[inside], 1.0 - first[inside] - second[inside]])
    total = prior.shape.sum()
    # the density of proportions of independent Gamma variables, their sum integrated out
    log_density = ((prior.shape - 1.0)[:, None] * np.log(p)).sum(axis=0)
    log_density -= total * np.log((prior.inverse[:, None] * p).sum(axis=0))
    log_density += log_likelihood_of_shares(p)
    weight = np.exp(log_density - log_density.max())
    return np.asarray((p * weight).sum(axis=1) / weight.sum() * prior.mean.sum())


def test_two_complaints_with_different_ease_agree_with_summing_up_the_posterior() -> None:
    prior = prior_worth(np.array([4.0, 1.0, 2.0]), 2.0)
    ease = np.array([[0.2, 0.5, 0.1], [0.0, 0.3, 0.9]])
    counts = Counts(ease, (*alone(0, 12, 9, 3), *alone(1, 0, 4, 21)))

    def log_likelihood(p: Floats) -> Floats:
        first = ease[0] @ p
        second = ease[1] @ p
        return np.asarray(
            12 * np.log(p[0])
            + 13 * np.log(p[1])
            + 24 * np.log(p[2])
            - 24 * np.log(first)
            - 25 * np.log(second)
        )

    drawn = draw_rates(prior, counts, 20_000, np.random.default_rng(1))
    assert drawn.mean(axis=0) == pytest.approx(by_summing_up(prior, log_likelihood), rel=0.01)


def test_cases_that_fit_two_causes_agree_with_summing_up_the_posterior() -> None:
    prior = prior_worth(np.array([4.0, 1.0, 2.0]), 2.0)
    ease = np.array([[0.2, 0.5, 0.1]])
    shared = Alike(0, (0, 2), (1.0, 0.25), 30.0)
    counts = Counts(ease, (*alone(0, 5, 9, 3), shared))

    def log_likelihood(p: Floats) -> Floats:
        whole = ease[0] @ p
        either = 0.2 * p[0] + 0.25 * 0.1 * p[2]
        return np.asarray(
            5 * np.log(p[0]) + 9 * np.log(p[1]) + 3 * np.log(p[2]) + 30 * np.log(either) - 47 * np.log(whole)
        )

    drawn = draw_rates(prior, counts, 20_000, np.random.default_rng(2))
    assert drawn.mean(axis=0) == pytest.approx(by_summing_up(prior, log_likelihood), rel=0.015)


def test_a_cause_that_seldom_brings_the_complaint_has_its_rate_put_up_for_it() -> None:
    prior = prior_worth(np.array([1.0, 1.0]), 1.0)
    counts = Counts(np.array([[1.0, 0.1]]), alone(0, 500, 500))
    common, seldom = draw_rates(prior, counts, 2000, np.random.default_rng(3)).mean(axis=0)
    assert seldom / common == pytest.approx(10.0, rel=0.15)


def test_without_cases_nothing_changes() -> None:
    prior = prior_worth(np.array([3.0, 1.0, 0.3]), 2.0)
    drawn = draw_rates(prior, Counts(np.zeros((0, 3)), ()), 50, np.random.default_rng(4))
    assert (drawn == prior.mean).all()


def test_causes_that_no_case_speaks_of_keep_their_rate() -> None:
    prior = prior_worth(np.array([3.0, 1.0, 0.3, 5.0]), 2.0)
    counts = Counts(np.array([[0.5, 0.5, 0.0, 0.0]]), alone(0, 1, 30))
    drawn = draw_rates(prior, counts, 500, np.random.default_rng(5))
    assert (drawn[:, 2:] == prior.mean[2:]).all()
    assert drawn[:, :2].sum(axis=1) == pytest.approx(np.full(500, 4.0))
    assert drawn[:, 1].mean() > 2.5


def test_causes_are_linked_by_the_grounds_they_share() -> None:
    ease = np.array([[1.0, 1.0, 0.0, 0.0, 0.0], [0.0, 1.0, 1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0, 0.0]])
    counts = Counts(
        ease, tuple(Alike(ground, (int(ease[ground].argmax()),), (1.0,), 1.0) for ground in range(3))
    )
    assert sorted(group.tolist() for group in linked(counts, 5)) == [[0, 1, 2], [3]]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(0, 50), min_size=3, max_size=3), st.integers(0, 2**32 - 1))
def test_the_same_seed_gives_the_same_rates(numbers: list[int], seed: int) -> None:
    prior = prior_worth(np.array([4.0, 1.0, 2.0]), 2.0)
    counts = Counts(np.array([[0.2, 0.5, 0.1]]), alone(0, *numbers))
    first, second = (draw_rates(prior, counts, 20, np.random.default_rng(seed)) for _ in range(2))
    assert (first == second).all()


def test_shares_are_rate_times_ease() -> None:
    found = shares(np.array([2.0, 1.0]), np.array([[0.5, 0.5], [0.0, 1.0], [0.0, 0.0]]))
    assert found.tolist() == [[pytest.approx(2 / 3), pytest.approx(1 / 3)], [0.0, 1.0], [0.0, 0.0]]
