"""Fault trees on paper: a branch to a page, every cause within reach, the symbols of IEC 61025."""

from __future__ import annotations

import re
from functools import cache

import pytest

from documents.page_geometry import faults_of, leaves_of
from documents.pdf_text import pages_of
from kickover.core.ids import EventId, MachineId
from kickover.documents.page_layout import PrintedPage, ShapeMark, TextMark
from kickover.documents.page_output import pages_pdf
from kickover.documents.trees.branches import TreeError, branches_of, reach
from kickover.documents.trees.page_symbols import Symbol, symbol_marks
from kickover.documents.trees.paging import BranchPage, first_fit
from kickover.documents.trees.tree_pages import PrintedTree, tree_pages
from worlds.shipped_library import shipped
from worlds.tree_library import cause, courier_library, four_stroke, gate, library

DATE = "27 November 2026"


@cache
def printed(name: str, machine: str = "", paper: str = "a4") -> PrintedTree:
    profile = shipped().machines[MachineId(machine)] if machine else None
    return tree_pages(shipped(), name, profile, paper, DATE)


def words(page: PrintedPage) -> list[str]:
    return [mark.says for panel in page.panels for mark in panel.marks if isinstance(mark, TextMark)]


@pytest.mark.parametrize(
    ("name", "machine"),
    [
        ("no-spark-seen", ""),
        ("ignition", ""),
        ("will-not-start", "points-moped"),
        ("vibrates", "clip-on-two-stroke"),
    ],
)
def test_every_cause_of_the_tree_is_in_its_index(name: str, machine: str) -> None:
    profile = shipped().machines[MachineId(machine)] if machine else None
    tree = shipped().trees.get(name)
    tops = tree.tops if tree else (EventId(name),)
    under = reach(branches_of(shipped(), tops, profile), tops, frozenset())
    assert set(printed(name, machine).index) == {event for event in under if event in shipped().causes}


def test_the_index_names_the_pages_on_which_the_cause_stands() -> None:
    tree = printed("no-spark-seen")
    for event, numbers in tree.index.items():
        first_words = shipped().causes[event].title.split()[:2]
        for number in numbers:
            assert " ".join(first_words) in " ".join(words(tree.pages[number - 1]))


def test_transfers_are_numbered_both_ways() -> None:
    """IEC 61025: a transfer symbol has the same number where the tree goes on and where it comes from."""
    tree = printed("ignition")
    goes = {(number, int(to)) for number, page in enumerate(tree.pages, 1) for said in words(page)
            for to in re.findall(r"^page (\d+)$", said)}  # fmt: skip
    comes = {(int(origin), number) for number, page in enumerate(tree.pages, 1) for said in words(page)
             for origin in re.findall(r"\d+", said if said.startswith("comes from") else "")}  # fmt: skip
    assert goes
    assert goes <= comes
    assert all(tree.pages[to - 1] for _, to in goes)


def test_a_transfer_leads_there_on_a_screen_too() -> None:
    tree = printed("ignition")
    links = [page.links for page in pages_of(pages_pdf(tree.pages, tree.title))]
    transfers = [sum(said.startswith(("page ", "comes from")) for said in words(page)) for page in tree.pages]
    assert [len(there) for there in links] == transfers


@pytest.mark.parametrize("paper", ["a4", "letter", "a3"])
def test_every_page_can_be_printed_and_read(paper: str) -> None:
    tree = printed("no-spark-seen", paper=paper)
    pdf = pages_pdf(tree.pages, tree.title)
    assert faults_of(pdf) == []
    for number, page in enumerate(pages_of(pdf), 1):
        assert f"Page {number} of {len(tree.pages)}" in page.says


def test_the_tree_of_a_complaint_begins_with_more_than_a_triangle() -> None:
    assert len([said for said in words(printed("no-spark-seen").pages[0]) if said.startswith("page ")]) >= 3


def test_what_the_branch_is_of_stands_at_the_top() -> None:
    tree = printed("no-spark-seen")
    for leaf in list(leaves_of(pages_pdf(tree.pages, tree.title)))[:-1]:
        assert leaf.boxes[leaf.sizes == 12.0, 1].max() > leaf.high * 0.85


# IEC 61025 and NUREG-0492 both draw a basic event as a circle, an undeveloped one as a diamond, a house event
# as a house (five corners), and a transfer as a triangle (from memory).
@pytest.mark.parametrize(
    ("symbol", "corners"),
    [(Symbol.UNDEVELOPED, 4), (Symbol.HOUSE, 5), (Symbol.LINK, 6), (Symbol.TRANSFER, 3)],
)
def test_each_kind_of_event_has_its_symbol(symbol: Symbol, corners: int) -> None:
    (shape,) = symbol_marks(symbol, 0, 0)
    assert isinstance(shape, ShapeMark)
    assert len(shape.points) == corners


def test_a_basic_event_is_a_circle() -> None:
    (shape,) = symbol_marks(Symbol.BASIC, 0, 0)
    assert isinstance(shape, ShapeMark)
    assert {round(x * x + y * y, 6) for x, y in shape.points} == {49.0}


def test_an_undeveloped_event_is_drawn_under_a_gate_that_is_observed() -> None:
    assert any(
        said.startswith("Something else") for page in printed("no-spark-seen").pages for said in words(page)
    )


def test_a_gate_with_more_causes_than_a_page_goes_on_overleaf() -> None:
    names = [f"c{number}" for number in range(60)]
    tree = tree_pages(library([gate("top", names)], [cause(one) for one in names]), "top", None, "a4", DATE)
    assert len(tree.index) == 60
    assert set(tree.index.values()) >= {(1,), (2,)}
    assert faults_of(pages_pdf(tree.pages, tree.title)) == []


def test_short_branches_share_a_sheet() -> None:
    sheets = first_fit(
        [BranchPage(None, (), frozenset(), level) for level in (1, 2, 3, 4)], [50, 80, 30, 9], 99, 10
    )
    assert [[page.levels for page in sheet] for sheet in sheets] == [[1, 3], [2, 4]]


def test_a_tree_that_the_machine_cannot_have_at_all_is_an_error() -> None:
    with pytest.raises(TreeError, match="Valley moped cannot have this"):
        tree_pages(courier_library(), "hose-kinked", four_stroke(), "a4", DATE)
