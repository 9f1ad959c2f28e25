"""Conjugate updates against worked examples of Gelman, Carlin, Stern, Dunson, Vehtari and Rubin,
"Bayesian Data Analysis", 3rd edition (2013), and of Johnson, Ott and Dogucu, "Bayes Rules!" (2022).

The data of section 2.4 were read in the demonstrations published with the first book, those of "Bayes
Rules!", chapter 5, in published notes on it; the printed results of sections 2.4, 2.6 and 3.4 are from
memory.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from kickover.learning.rates import Alike, Counts, GammaPrior, draw_rates, learn, update, updated


def test_section_2_4_girls_born_after_placenta_previa() -> None:
    # 437 girls of 980 births, even prior: Beta(438, 544), mean 0.446, central 95 % from 0.415 to 0.477
    learned = learn(np.array([0.5, 0.5]), np.array([437.0, 543.0]), strength=2.0)
    assert learned.mean[0] == pytest.approx(438 / 982)
    assert learned.mean[0] == pytest.approx(0.446, abs=5e-4)
    assert (learned.low[0], learned.high[0]) == (
        pytest.approx(0.415, abs=5e-4),
        pytest.approx(0.477, abs=5e-4),
    )


def test_section_2_6_deaths_from_asthma_in_one_year_and_in_ten() -> None:
    # prior Gamma(3, 5); 3 deaths among 200,000 people in one year, then 30 in ten: per 100,000 a year
    prior = GammaPrior(np.array([3.0]), np.array([5.0]))
    one_year = updated(prior, np.array([3.0]), np.array([2.0]))
    assert (one_year.shape[0], one_year.inverse[0]) == (6.0, 7.0)
    assert one_year.mean[0] == pytest.approx(0.86, abs=5e-3)
    assert stats.gamma.sf(1.0, one_year.shape[0], scale=1 / one_year.inverse[0]) == pytest.approx(
        0.30, abs=5e-3
    )
    ten_years = updated(prior, np.array([30.0]), np.array([20.0]))
    assert (ten_years.shape[0], ten_years.inverse[0]) == (33.0, 25.0)
    assert ten_years.mean[0] == pytest.approx(1.32)
    assert stats.gamma.sf(1.0, ten_years.shape[0], scale=1 / ten_years.inverse[0]) == pytest.approx(
        0.93, abs=5e-3
    )


def test_bayes_rules_calls_a_day() -> None:
    # "Bayes Rules!", section 5.2: prior Gamma(10, 2); 6, 2, 2 and 1 calls on four days: Gamma(21, 6)
    after = updated(
        GammaPrior(np.array([10.0]), np.array([2.0])), np.array([6.0 + 2 + 2 + 1]), np.array([4.0])
    )
    assert (after.shape[0], after.inverse[0]) == (21.0, 6.0)


def test_section_3_4_shares_of_voters_before_an_election() -> None:
    # 727, 583 and 137 of 1447 people asked, even prior: Dirichlet(728, 584, 138)
    asked = np.array([727.0, 583.0, 137.0])
    mean = update(np.full(3, 1 / 3), asked, strength=3.0)
    assert mean == pytest.approx(np.array([728, 584, 138]) / 1450)


def test_on_one_ground_rates_are_the_dirichlet_of_section_3_4() -> None:
    # Gamma rates with equal inverse scale have Dirichlet proportions: the difference of the two leading
    # shares has mean 144 / 1450 = 0.099 and a standard deviation near 0.025
    prior = GammaPrior(np.ones(3), np.full(3, 3.0))
    asked = (727.0, 583.0, 137.0)
    counts = Counts(
        np.ones((1, 3)), tuple(Alike(0, (one,), (1.0,), number) for one, number in enumerate(asked))
    )
    drawn = draw_rates(prior, counts, 20_000, np.random.default_rng(1))
    lead = drawn[:, 0] - drawn[:, 1]
    assert lead.mean() == pytest.approx(144 / 1450, abs=1e-3)
    exact = (728 * (1450 - 728) + 584 * (1450 - 584) + 2 * 728 * 584) / (1450**2 * 1451)
    assert lead.std() == pytest.approx(exact**0.5, rel=0.03)
    assert np.quantile(drawn[:, 2], [0.025, 0.975]) == pytest.approx(
        stats.beta.ppf([0.025, 0.975], 138, 1450 - 138), rel=0.01
    )
