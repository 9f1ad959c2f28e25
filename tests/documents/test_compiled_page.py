"""A chart of the shipped library as an offline page in a real Chromium, judged by axe-core as well.

The axe-core that `npm install --no-save axe-core` put into the folder of the project is used when it is
there, and else the one that comes with the Python package.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from documents.test_page import WIDTHS, answer, browser, needs_chromium, opened
from kickover import api
from kickover.documents.charts.chart import Chart, Node, NodeKind
from kickover.documents.charts.compiling import Printing, compile_chart
from kickover.documents.charts.page_lists import NOT_IT, SHOWS, THE_SAME

__all__ = ["browser"]

FROM_NPM = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
AXE = Axe.from_file(FROM_NPM) if FROM_NPM.is_file() else Axe()


@pytest.fixture(scope="module")
def chart() -> Chart:
    session = api.load().walk("no-spark-seen", "points-moped", (), "pouch").session
    return compile_chart(session, Printing(0.05)).chart


def likeliest_way(chart: Chart) -> list[tuple[Node, str]]:
    """The steps on the way by the likeliest branches, each with what is pressed there."""
    node, way = chart.node(chart.start), []
    while node.branches:
        branch = max(node.branches, key=lambda one: one.probability)
        way.append((node, branch.label or "Done, go on"))
        if branch.target is None:
            break
        node = chart.node(branch.target)
    return way


@dataclass(frozen=True)
class WayToList:
    """What is pressed from the start until a list is reached."""

    pressed: tuple[str, ...]
    end: str


def ways_to_lists(chart: Chart) -> Iterator[WayToList]:
    """The shortest ways to lists that meet no stop."""
    waiting = [WayToList((), chart.start)]
    for way in waiting:
        node = chart.node(way.end)
        if node.kind is NodeKind.LIST:
            yield way
        waiting += [
            WayToList((*way.pressed, branch.label or "Done, go on"), branch.target)
            for branch in node.branches
            if branch.target is not None and not branch.stop
        ]


def breaches(page: Page) -> list[str]:
    """What axe-core finds against WCAG 2 A and AA and its own best practice."""
    found = AXE.run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


@needs_chromium
class TestInABrowser:
    @WIDTHS
    @pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
    def test_the_likeliest_way_can_be_walked_and_axe_finds_nothing(
        self, browser: Browser, tmp_path: Path, chart: Chart, wide: int, dark: bool
    ) -> None:
        page = opened(browser, tmp_path, chart, wide, dark=dark)
        kinds = set()
        for node, pressed in likeliest_way(chart):
            expect(page.locator("h1")).to_have_text(node.title)
            for caution in node.cautions:
                expect(page.locator("#step")).to_contain_text(chart.caution(caution).words)
            if node.kind not in kinds:
                kinds.add(node.kind)
                assert breaches(page) == []
                assert page.evaluate("document.documentElement.scrollWidth") <= wide
            answer(page, pressed)
        assert NodeKind.CHECK in kinds
        assert breaches(page) == []
        page.locator("summary").first.click()
        assert breaches(page) == []

    @WIDTHS
    def test_a_list_is_worked_row_by_row_and_kept_across_a_reload(
        self, browser: Browser, tmp_path: Path, chart: Chart, wide: int
    ) -> None:
        page = opened(browser, tmp_path, chart, wide)
        way = next(iter(ways_to_lists(chart)))
        for pressed in way.pressed:
            answer(page, pressed)
        listed = chart.list_at(way.end)
        expect(page.locator("h1")).to_contain_text(f"List {listed.letter}: ")
        assert breaches(page) == []
        answer(page, "Begin the list")
        number, row = next((one, row) for one, row in enumerate(listed.rows, 1) if row.check)
        for earlier in listed.rows[: number - 1]:
            expect(page.locator("h1")).to_have_text(earlier.repair)
            answer(page, "Done, go on")
            answer(page, THE_SAME)
        expect(page.locator("h1")).to_have_text(row.check)
        answer(page, SHOWS)
        expect(page.locator(".kind")).to_contain_text(
            f"List {listed.letter}, row {number} of {len(listed.rows)}"
        )
        expect(page.locator("h1")).to_have_text(row.repair)
        for caution in row.cautions:
            expect(page.locator("#step")).to_contain_text(chart.caution(caution).words)
        page.reload()
        expect(page.locator("h1")).to_have_text(row.repair)
        page.locator("#back").click()
        expect(page.locator("h1")).to_have_text(row.check)
        answer(page, NOT_IT)
        expect(page.locator(".kind")).to_contain_text(f"row {number + 1} of")
        assert breaches(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= wide

    def test_axe_would_find_a_button_without_a_name(
        self, browser: Browser, tmp_path: Path, chart: Chart
    ) -> None:
        page = opened(browser, tmp_path, chart)
        page.evaluate("document.querySelector('main').append(document.createElement('button'))")
        assert any(breache.startswith("button-name") for breache in breaches(page))
