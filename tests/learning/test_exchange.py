"""Cases go out as CSV and JSON Lines and come back the same; a damaged line spoils no other."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kickover.learning.case import Case, CaseError
from kickover.learning.exchange import MOST_CHARACTERS, Form, form_of, read_lines, write_lines
from kickover.learning.notation import FIELDS
from learning.tables import WET, cases

HEADING = "date,machine,complaints,causes,seen,minutes"
GOOD = "2026-03-01,moped,will-not-start,plug-fouled,spark-at-plug=none,12"


def read_back(lines: list[str], form: Form) -> list[Case | str]:
    return [row.case or f"{row.line}: {row.trouble}" for row in read_lines(lines, form)]


@given(st.lists(cases, max_size=4), st.sampled_from(list(Form)))
def test_what_is_written_is_read_back_exactly(some: list[Case], form: Form) -> None:
    assert read_back(list(write_lines(some, form)), form) == some


@given(st.lists(cases, max_size=3), st.sampled_from(list(Form)))
def test_one_case_is_one_line(some: list[Case], form: Form) -> None:
    lines = list(write_lines(some, form))
    assert len(lines) == len(some) + (form is Form.CSV)
    assert all(line.count("\n") == 1 for line in lines)


@given(st.text(max_size=60), st.sampled_from(list(Form)))
def test_no_line_of_text_ends_the_reading(text: str, form: Form) -> None:
    heading = [HEADING] if form is Form.CSV else []
    good = GOOD if form is Form.CSV else next(iter(write_lines([WET], form)))
    found = list(read_lines([*heading, text.replace("\n", " "), good], form))
    assert found[-1].case is not None


def test_an_open_quotation_mark_costs_one_line_only() -> None:
    found = read_back([HEADING, f'"{GOOD}', GOOD], Form.CSV)
    assert found[0] == '2: a quotation mark is not closed; close it, or write "" for one inside a cell'
    assert isinstance(found[1], Case)


@pytest.mark.parametrize(
    ("line", "trouble"),
    [
        (GOOD + ",more", "there are 7 cells where 6 are wanted; put the line right"),
        (GOOD.replace("12", "twelve"), "'twelve' is no number of minutes; write for example 25"),
        (GOOD.replace("=none", ""), "'spark-at-plug' does not read as CHECK=FINDING"),
        (GOOD.replace("none", "none:7"), "'7' is no weight; write a number from 0 to 1"),
        (GOOD.replace("none", "none (4 bar)"), "(4 bar) is no reading; write for example (4.2 to 4.4 bar)"),
        (GOOD.replace("plug-fouled", "Plug fouled"), "'Plug fouled' is no id"),
        (GOOD + "x" * MOST_CHARACTERS, f"the line has more than {MOST_CHARACTERS} characters"),
        (GOOD + "\udcff", "the line is not UTF-8 text; save the file as UTF-8"),
    ],
)
def test_a_line_that_cannot_be_read_says_why(line: str, trouble: str) -> None:
    (found,) = read_lines([HEADING, line], Form.CSV)
    assert found.case is None
    assert found.line == 2
    assert found.trouble.startswith(trouble)


@pytest.mark.parametrize(
    ("data", "trouble"),
    [
        ("{", "the line is no JSON"),
        ("[" * 100_000, "the line is no JSON"),
        ("[]", "'case' is no object"),
        ('{"date": 3}', "'date' is no text"),
        ('{"date": "2026-01-01", "date": "2026-01-02"}', "'date' is there twice"),
        ('{"minutes": NaN}', "NaN is no number"),
        ('{"minutes": 1e999}', "'minutes' is no number"),
        (f'{{"minutes": {"9" * 400}}}', "'minutes' is no number"),
        ('{"minutes": true}', "'minutes' is no number"),
        ('{"colour": "red"}', "'case' has no field 'colour'"),
        ('{"given": "engine-hot"}', "'given' is no list"),
        ('{"seen": [{"check": "a"}]}', "a check has no weights"),
        ('{"seen": [{"check": "a", "weights": {"b": 2}}]}', "the weight 2 is not from 0 to 1"),
        ('{"confirmed": "surely"}', "'surely' is no confirmation; write seen, repair, likely"),
    ],
)
def test_a_line_of_json_that_is_no_case_says_why(data: str, trouble: str) -> None:
    (found,) = read_lines([data], Form.JSONL)
    assert found.case is None
    assert found.trouble.startswith(trouble)


def test_a_heading_without_what_is_needed_is_refused() -> None:
    with pytest.raises(CaseError, match="1: the heading lacks causes"):
        list(read_lines(["date,machine,complaints"], Form.CSV))


def test_a_column_that_is_not_known_is_refused_and_not_dropped() -> None:
    with pytest.raises(CaseError, match="1: the column 'colour' is not known"):
        list(read_lines([HEADING + ",colour"], Form.CSV))


def test_lines_without_an_id_get_the_same_one_each_time_and_one_each() -> None:
    first = read_back([HEADING, GOOD, GOOD], Form.CSV)
    again = read_back([HEADING, "", GOOD, GOOD], Form.CSV)
    assert first == again
    assert len({one.id for one in first if isinstance(one, Case)}) == 2


def test_the_json_of_a_case_has_a_field_for_each_column() -> None:
    assert tuple(json.loads(next(iter(write_lines([WET], Form.JSONL))))) == FIELDS


def test_the_form_is_told_by_the_name() -> None:
    assert form_of(Path("a/b.CSV")) is Form.CSV
    with pytest.raises(CaseError, match=r"end its name in \.csv or \.jsonl"):
        form_of(Path("cases.txt"))
