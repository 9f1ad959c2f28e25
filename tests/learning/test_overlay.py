"""What was learned is laid over the library as a file, and the library stays as it is."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from kickover.authoring import content_version, load_or_raise
from kickover.core.ids import CheckId, EventId, MachineId
from kickover.learning.learning import LearnedRates, Strength, learn_from
from kickover.learning.overlay import SOURCE, overlay
from learning.simulated import grounds_of, simulate, texts, with_chances, with_rates
from worlds.shop_library import write_shop

CHECKS = ("lead-off", "plug-look", "compression", "spark-at-plug")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return write_shop(tmp_path / "shop")


def lesson_from(folder: Path, **rates: float) -> LearnedRates:
    library = load_or_raise(folder)
    true = with_rates(library, {name.replace("_", "-"): rate for name, rate in rates.items()})
    true = with_chances(true, "lead-off", {"yes": 0.6, "no": 0.4}, {"yes": 0.2, "no": 0.8})
    machine = library.machines[MachineId("moped")]
    cases = list(simulate(true, machine, "will-not-start", 600, np.random.default_rng(1), checks=CHECKS))
    return learn_from(texts(cases), grounds_of(library), Strength(), seed=1)


def test_an_overlay_changes_the_learned_numbers_and_nothing_else(folder: Path, tmp_path: Path) -> None:
    before, version = load_or_raise(folder), content_version(folder)
    lesson = lesson_from(folder, plug_fouled=1.0, tap_shut=20.0)
    made = overlay(lesson, folder, before.version)
    file = tmp_path / "learned.yaml"
    file.write_text(made.text, encoding="utf-8")
    after = load_or_raise(folder, overlays=[file])
    assert content_version(folder) == version
    assert made.causes > 5
    assert made.checks == 4
    for rate in lesson.rates:
        expected = pytest.approx(rate.after, rel=0.01 if rate.cause in made.text else 0.021)
        assert after.causes[rate.cause].rate == expected
    for chance in lesson.chances:
        found = after.checks[chance.check].lines[chance.line].chances[chance.finding]
        assert found == pytest.approx(chance.after, abs=2e-4)
    for cause, known in before.causes.items():
        now = after.causes[cause]
        same = replace(
            now, rate=known.rate, rate_word=known.rate_word, sources=known.sources, place=known.place
        )
        assert same == known
        assert now == known or now.sources == (*known.sources, SOURCE)
    assert after.repairs == before.repairs
    assert after.complaints == before.complaints
    assert after.checks[CheckId("compression")].reading is not None
    assert after.version != before.version


def test_only_what_is_wanted_is_written(folder: Path) -> None:
    lesson = lesson_from(folder, tap_shut=20.0)
    assert "\nchecks:" not in overlay(lesson, folder, "1", chances=False).text
    assert "\ncauses:" not in overlay(lesson, folder, "1", rates=False).text


def test_an_overlay_of_nothing_is_empty_but_for_its_heading(folder: Path) -> None:
    lesson = learn_from([], grounds_of(load_or_raise(folder)), Strength(), seed=1)
    assert all(line.startswith("#") for line in overlay(lesson, folder, "1").text.splitlines())


def test_the_heading_says_whether_it_is_recommended(folder: Path) -> None:
    text = overlay(lesson_from(folder, tap_shut=20.0), folder, "1.0+abc").text
    assert "version 1.0+abc of the library" in text
    assert "# Rates: recommended; learning helps" in text


def test_a_check_that_points_the_other_way_is_left_out_and_named(folder: Path) -> None:
    library = load_or_raise(folder)
    true = with_chances(library, "lead-off", {"yes": 0.1, "no": 0.9}, {"yes": 0.6, "no": 0.4})
    machine = library.machines[MachineId("moped")]
    cases = simulate(true, machine, "will-not-start", 600, np.random.default_rng(1), checks=["lead-off"])
    lesson = learn_from(texts(list(cases)), grounds_of(library), Strength(), seed=1)
    made = overlay(lesson, folder, "1")
    assert made.left_out == ("lead-off: in your cases it points the other way; look at how it is made",)
    assert "\n  lead-off:" not in made.text


def test_learning_on_top_of_nothing_new_leaves_the_words_of_rates(folder: Path) -> None:
    library = load_or_raise(folder)
    assert library.causes[EventId("gap-wide")].rate_word == "common"
