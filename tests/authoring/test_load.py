"""Loading a library whole: what is built, layers over one another, versions, and the errors of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from kickover.authoring.files import content_version, shipped_folder
from kickover.authoring.loading import load_library, load_or_raise
from kickover.core.problem import LibraryError
from kickover.model.library import ALWAYS, Any, Is, Not
from worlds.tiny_library import base_library, problems_in, spoil, write_library


def test_the_shipped_library_has_no_problems() -> None:
    library, problems = load_library(shipped_folder())
    assert [str(problem) for problem in problems] == []
    assert library is not None
    assert len(library.causes) > 100
    assert len(library.machines) >= 5


def test_everything_is_built_in_the_order_in_which_it_was_written(tmp_path: Path) -> None:
    library = base_library(tmp_path)
    assert list(library.causes) == ["plug-fouled", "switch-shorted", "rings-worn"]
    assert list(library.checks) == ["spark-at-plug", "switch-off-lead", "compression"]
    assert list(library.setups) == ["plug-out", "brakes-looked-over", "fuel-vapour"]


def test_a_rate_word_has_the_number_that_the_settings_give_it(tmp_path: Path) -> None:
    causes = base_library(tmp_path).causes.values()
    assert [(cause.rate, cause.rate_word) for cause in causes] == [(3.0, "common"), (2.0, ""), (0.3, "rare")]


def test_gates_know_how_many_inputs_they_need(tmp_path: Path) -> None:
    library = base_library(tmp_path)
    assert [(gate.needed, gate.mark) for gate in library.gates.values()] == [(1, "≥1"), (2, "&")]
    (complaint,) = library.complaints.values()
    assert [line.chance for line in complaint.gate.inputs] == [1.0, 0.6]


def test_a_yes_or_no_check_becomes_one_with_two_findings_and_two_lines(tmp_path: Path) -> None:
    check = next(one for one in base_library(tmp_path).checks.values() if one.id == "switch-off-lead")
    assert [finding.title for finding in check.findings] == ["Yes", "No"]
    assert [(line.when, dict(line.chances)) for line in check.lines] == [
        (Is("switch-shorted"), {"yes": 0.95, "no": 0.05}),
        (ALWAYS, {"yes": 0.02, "no": 0.98}),
    ]


def test_the_findings_of_a_reading_are_its_bands(tmp_path: Path) -> None:
    check = next(one for one in base_library(tmp_path).checks.values() if one.reading)
    assert [finding.id for finding in check.findings] == ["low", "good"]


def test_conditions_may_be_nested(tmp_path: Path) -> None:
    folder = spoil(
        tmp_path, "tree.yaml", "only_if: kill-wire", "only_if: {not: {any: [four-stroke, kill-wire]}}"
    )
    library, _ = load_library(folder)
    assert library is not None
    condition = next(cause.only_if for cause in library.causes.values() if cause.id == "switch-shorted")
    assert condition == Not(Any((Is("four-stroke"), Is("kill-wire"))))


def test_every_value_knows_where_it_was_written(tmp_path: Path) -> None:
    library = base_library(tmp_path)
    check = next(iter(library.checks.values()))
    assert str(check.place) == f"{tmp_path}/work.yaml:2"
    assert [line.place.line for line in check.lines] == [10, 11]


def test_a_temperature_error_in_another_unit_is_a_difference(tmp_path: Path) -> None:
    """9 °F of difference is 5 °C of difference (NIST SP 811, section 8.5), not -13 °C."""
    folder = write_library(tmp_path, hot=HOT)
    library, problems = load_library(folder)
    assert problems == ()
    assert library is not None
    reading = next(check.reading for check in library.checks.values() if check.id == "head-heat")
    assert reading is not None
    assert reading.error_fixed.within("°C") == pytest.approx(5.0)
    assert reading.bands[0].high is not None
    assert reading.bands[0].high.plus is not None
    assert reading.bands[0].high.plus.within("°C") == pytest.approx(40.0)


HOT = """\
figures:
  usual-heat: {title: Usual heat, unit: °C, assumed: [{value: 150 °C}]}
checks:
  head-heat:
    title: Heat of the head
    kind: measure
    ask: How hot is it?
    reading:
      unit: °C
      error: {fixed: 9 Δ°F}
      least: 0 °C
      most: 400 °C
      bands:
        - {finding: usual, title: Usual, below: {figure: usual-heat, plus: 72 Δ°F}}
        - {finding: hot, title: Hot, from: {figure: usual-heat, plus: 72 Δ°F}}
    expect:
      - {when: rings-worn, chances: {usual: 0.4, hot: 0.6}}
      - {chances: {usual: 0.9, hot: 0.1}}
    minutes: 5
"""


def test_a_part_with_problems_is_left_out_and_the_rest_goes_on(tmp_path: Path) -> None:
    library, problems = load_library(spoil(tmp_path, "tree.yaml", "rate: rare", "rate: -1"))
    assert library is not None
    assert "rings-worn" not in library.causes
    assert len(library.causes) == 2
    assert len(problems) == 1


def test_a_library_with_problems_raises_them_all(tmp_path: Path) -> None:
    folder = spoil(tmp_path, "tree.yaml", "rate: rare", "rate: seldom")
    with pytest.raises(LibraryError, match=r"tree\.yaml:21: `seldom` is no rate word") as raised:
        load_or_raise(folder)
    assert len(raised.value.problems) == 1


def test_a_library_without_a_heading_is_told_to_write_one(tmp_path: Path) -> None:
    folder = spoil(tmp_path, "heading.yaml", 'library: {title: Tiny, version: "1.0"}\n', "")
    assert problems_in(folder) == [
        f"{folder}:1: the library has no heading;"
        ' add `library: {title: ..., version: "1.0"}` to one of its files'
    ]


def test_the_version_changes_with_every_byte_and_every_name(tmp_path: Path) -> None:
    folder = write_library(tmp_path)
    first = content_version(folder)
    assert content_version(folder) == first
    (folder / "pouch.yaml").rename(folder / "bag.yaml")
    renamed = content_version(folder)
    (folder / "bag.yaml").write_text("kit: {id: pouch, title: Pouch, items: [socket]}\n")
    assert len({first, renamed, content_version(folder)}) == 3


def test_the_version_of_a_library_holds_its_own_and_that_of_its_content(tmp_path: Path) -> None:
    library = base_library(tmp_path)
    own, _, content = library.version.partition("+")
    assert own == "1.0"
    assert len(content) == 12


def test_the_version_does_not_depend_on_where_the_folder_lies(tmp_path: Path) -> None:
    assert base_library(tmp_path / "a").version == base_library(tmp_path / "b").version
