"""What rests on what: opinion is marked as opinion, and every source named is used."""

from __future__ import annotations

import json
from typing import Any

import pytest
from click.testing import CliRunner

from kickover.cli.list import list_
from worlds.shipped_library import shipped

LIBRARY = shipped()


@pytest.fixture(scope="module")
def listed() -> dict[str, Any]:
    run = CliRunner().invoke(list_, ["sources", "--json"])
    return {row["id"]: row for row in json.loads(run.output)}


def test_the_rate_of_every_cause_is_marked_as_an_estimate() -> None:
    unmarked = [cause.id for cause in LIBRARY.causes.values() if "estimate" not in cause.sources]

    assert unmarked == []


def test_checks_repairs_cautions_and_figures_each_name_a_source() -> None:
    silent = [
        id_
        for group in (LIBRARY.checks, LIBRARY.repairs, LIBRARY.hazards, LIBRARY.figures)
        for id_, one in group.items()
        if not one.sources
    ]

    assert silent == []


def test_every_source_has_something_resting_on_it(listed: dict[str, Any]) -> None:
    assert [id_ for id_, row in listed.items() if not row["rests"]] == []


def test_the_list_says_what_rests_on_a_source(listed: dict[str, Any]) -> None:
    assert "coil-secondary-resistance" in listed["iec-60028"]["rests"]["checks"]
    assert listed["iec-60028"]["kind"] == "published"
    assert set(listed["estimate"]["rests"]["causes"]) == set(LIBRARY.causes)


def test_the_printed_list_names_kind_and_what_rests_on_it() -> None:
    printed = CliRunner().invoke(list_, ["sources"]).output

    assert "iso-898-1  [published]" in printed
    assert f"causes ({len(LIBRARY.causes)})" in printed
    assert max(len(line) for line in printed.splitlines()) <= 100
