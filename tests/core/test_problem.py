"""Problems as values: one line each, sorted by file and line, collected in one error."""

from __future__ import annotations

from kickover.core.problem import KickoverError, LibraryError, Problem, SourcePlace


def problem(file: str, line: int, message: str = "this is wrong") -> Problem:
    return Problem(SourcePlace(file, line), "causes/a", message, "mend it")


def test_a_problem_reads_as_one_line_with_its_place_first() -> None:
    assert str(problem("fuel.yaml", 12)) == "fuel.yaml:12: this is wrong; mend it"


def test_problems_sort_by_file_then_by_line_as_a_number() -> None:
    found = sorted([problem("b.yaml", 1), problem("a.yaml", 10), problem("a.yaml", 9)])
    assert [str(one.place) for one in found] == ["a.yaml:9", "a.yaml:10", "b.yaml:1"]


def test_the_error_of_a_library_holds_every_problem_in_order() -> None:
    error = LibraryError([problem("b.yaml", 1), problem("a.yaml", 2)])
    assert isinstance(error, KickoverError)
    assert [one.place.file for one in error.problems] == ["a.yaml", "b.yaml"]
    assert str(error) == "a.yaml:2: this is wrong; mend it\nb.yaml:1: this is wrong; mend it"
