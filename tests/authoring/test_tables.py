"""Plain data that knows its lines: trails lead to lines, and are written for people."""

from __future__ import annotations

from kickover.authoring.located import Table, line_of, spoken, words_in
from kickover.authoring.source import read_document

TEXT = b"""\
checks:
  spark:
    tools: [lead, plug]
    expect:
      - when: no-spark
        chances: {none: 1}
      - {chances: {none: 2}}
"""


def data() -> Table:
    found = read_document(TEXT, "a.yaml").data
    assert found is not None
    return found


def test_a_trail_of_keys_leads_to_the_line_of_the_last() -> None:
    assert line_of(data(), ["checks", "spark", "expect"]) == 4


def test_an_item_is_found_by_its_index_and_by_its_name() -> None:
    assert line_of(data(), ["checks", "spark", "expect", 1]) == 7
    assert line_of(data(), ["checks", "spark", "expect", "no-spark", "chances"]) == 6


def test_a_trail_that_leads_nowhere_stops_at_what_is_there() -> None:
    assert line_of(data(), ["checks", "spark", "expect", "nothing", "more"]) == 4
    assert line_of(data(), ["nothing"]) == 1
    assert line_of(None, ["a"], start=9) == 9
    assert line_of(data(), ["checks", "spark", "expect", 7]) == 4


def test_a_trail_is_written_with_names_or_numbers_of_items() -> None:
    assert (
        spoken(data(), ["checks", "spark", "expect", 0, "chances"]) == "checks/spark/expect/no-spark/chances"
    )
    assert spoken(data(), ["checks", "spark", "expect", 1, "chances"]) == "checks/spark/expect/#2/chances"


def test_every_id_in_the_data_is_found() -> None:
    assert set(words_in(data())) == {
        *("checks", "spark", "tools", "lead", "plug", "expect", "when", "no-spark", "chances", "none")
    }
