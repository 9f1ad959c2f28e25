"""A chart of the shipped library as an offline page in a real Chromium, judged by axe-core as well.

The axe-core that `npm install --no-save axe-core` put into the folder of the project is used when it is
there, and else the one that comes with the Python package.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from draw.test_page import WIDTHS, answer, browser, needs_chromium, opened
from kickover import api
from kickover.draw.chart_model import Chart, Node, NodeKind
from kickover.draw.compile import Printing, compile_chart

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

    def test_axe_would_find_a_button_without_a_name(
        self, browser: Browser, tmp_path: Path, chart: Chart
    ) -> None:
        page = opened(browser, tmp_path, chart)
        page.evaluate("document.querySelector('main').append(document.createElement('button'))")
        assert any(one.startswith("button-name") for one in breaches(page))
