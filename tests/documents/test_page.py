from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright

from documents.pdf_text import text_of
from documents.small_chart import hostile_chart, long_chart, spark_chart
from kickover.documents.charts.chart import Chart
from kickover.documents.charts.offline_page import chart_page

DATE = "25 November 2026"
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
needs_chromium = pytest.mark.skipif(
    CHROMIUM is None, reason="no Chromium on this machine: apt-get install chromium"
)
WIDTHS = pytest.mark.parametrize("wide", [360, 1280])


class Tags(HTMLParser):
    """The elements of a page, with their attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_the_page_asks_for_nothing_from_outside() -> None:
    page = chart_page(spark_chart(), DATE)
    assert not re.search(r"https?:|//[a-z]|@import|url\(", page)
    for _, attributes in Tags(page).found:
        assert "src" not in attributes
        assert (attributes.get("href") or "#").startswith("#")


def test_the_policy_allows_its_own_style_and_script_by_digest_only() -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', chart_page(spark_chart(), DATE))
    assert policy
    assert policy.group(1).startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy.group(1)


def test_hostile_words_make_no_element_and_no_handler() -> None:
    tame, hostile = (Tags(chart_page(chart, DATE)).found for chart in (spark_chart(), hostile_chart()))
    assert {tag for tag, _ in hostile} == {tag for tag, _ in tame}
    assert not any(name.startswith("on") for _, attributes in hostile for name in attributes)


def test_the_data_is_json_with_every_step() -> None:
    found = re.search(
        r'<script type="application/json" id="chart">(.*?)</script>', chart_page(spark_chart(), DATE)
    )
    assert found
    assert {node["id"] for node in json.loads(found.group(1))["nodes"]} == {
        node.id for node in spark_chart().nodes
    }


def test_a_large_chart_stays_below_one_megabyte() -> None:
    assert len(chart_page(long_chart(200), DATE).encode()) < 1_000_000


def test_the_same_chart_gives_the_same_page() -> None:
    assert chart_page(spark_chart(), DATE) == chart_page(spark_chart(), DATE)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield started
        started.close()


def opened(
    browser: Browser, folder: Path, chart: Chart, wide: int = 360, *, scripts: bool = True, dark: bool = False
) -> Page:
    """The page in a browser without any network; an error of a script or a refusal fails the test."""
    file = folder / "chart.html"
    file.write_text(chart_page(chart, DATE), encoding="utf-8")
    context = browser.new_context(
        viewport={"width": wide, "height": 740}, offline=True, java_script_enabled=scripts,
        color_scheme="dark" if dark else "light",
    )  # fmt: skip
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("pageerror", lambda error: pytest.fail(str(error)))
    page.on("console", lambda message: pytest.fail(message.text) if message.type == "error" else None)
    page.goto(file.as_uri())
    return page


def answer(page: Page, words: str) -> None:
    page.get_by_role("group", name="Answers").get_by_role("button", name=words).click()


@needs_chromium
class TestInABrowser:
    @WIDTHS
    def test_a_walk_goes_from_the_first_step_to_solved(
        self, browser: Browser, tmp_path: Path, wide: int
    ) -> None:
        page = opened(browser, tmp_path, spark_chart(), wide)
        expect(page.locator("h1")).to_have_text("Is the stop switch in RUN, and does it click freely?")
        answer(page, "No")
        answer(page, "Done, go on")
        answer(page, "Yes, it runs")
        expect(page.locator("h1")).to_have_text("Solved")
        expect(page.locator("#step")).to_contain_text("after about 3.5 minutes")

    @WIDTHS
    @pytest.mark.parametrize("chart", [spark_chart(), hostile_chart()], ids=["spark", "hostile"])
    def test_nothing_sticks_out_sideways(
        self, browser: Browser, tmp_path: Path, wide: int, chart: Chart
    ) -> None:
        page = opened(browser, tmp_path, chart, wide)
        page.locator("summary").click()
        assert page.evaluate("document.documentElement.scrollWidth") <= wide

    @WIDTHS
    def test_buttons_are_large_enough_for_cold_hands(
        self, browser: Browser, tmp_path: Path, wide: int
    ) -> None:
        page = opened(browser, tmp_path, spark_chart(), wide)
        answer(page, "Yes")
        for button in page.get_by_role("button").all():
            box = button.bounding_box()
            assert box
            # WCAG 2.2, 2.5.5 Target Size (Enhanced): at least 44 by 44 CSS pixels.
            assert box["height"] >= 44
            assert box["width"] >= 44

    def test_a_step_with_hazards_shows_their_cautions_before_anything_to_do(
        self, browser: Browser, tmp_path: Path
    ) -> None:
        page = opened(browser, tmp_path, spark_chart())
        answer(page, "Yes")
        answer(page, "Done, go on")
        caution = page.get_by_role("note").filter(has_text="High voltage").bounding_box()
        first_line = page.get_by_text("Fit the spare plug in the cap.").first.bounding_box()
        assert caution
        assert first_line
        assert caution["y"] < first_line["y"]

    @pytest.mark.parametrize(
        ("typed", "unit", "says"),
        [("4.2", "kΩ", "4.2 kΩ: As it should be (3.5 to 6.5 kΩ)"),
         ("4200", "Ω", "4200 Ω (4.2 kΩ): As it should be"),
         ("3,4", "kΩ", "Too low (below 3.5 kΩ)"), ("6.5", "kΩ", "Too high, or no reading (6.5 kΩ or more)"),
         ("3.5", "kΩ", "As it should be"), ("-1", "kΩ", "cannot be: expected 0 to 500 kΩ"),
         ("2", "MΩ", "2 MΩ (2000 kΩ) cannot be"),
         ("a lot", "kΩ", "Type a number"), ("", "kΩ", "Type a number")],
    )  # fmt: skip
    def test_a_reading_is_compared_with_the_limits_in_any_of_its_units(
        self, browser: Browser, tmp_path: Path, typed: str, unit: str, says: str
    ) -> None:
        page = opened(browser, tmp_path, spark_chart())
        for words in ("Yes", "Done, go on", "No spark"):
            answer(page, words)
        page.get_by_label("Your reading").fill(typed)
        page.get_by_label("Unit").select_option(unit)
        page.get_by_role("button", name="Compare").click()
        expect(page.locator("#verdict")).to_contain_text(says)

    def test_a_reading_is_kept_in_the_history_with_its_unit(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        for words in ("Yes", "Done, go on", "No spark"):
            answer(page, words)
        page.get_by_label("Your reading").fill("900")
        page.get_by_role("button", name="Compare").click()
        expect(page.locator("#verdict")).to_contain_text("900 kΩ cannot be")
        page.get_by_label("Your reading").fill("90")
        page.keyboard.press("Enter")
        page.get_by_role("button", name="Go on with this reading").click()
        expect(page.locator("#history li").last).to_contain_text("90 kΩ")
        expect(page.locator("h1")).to_have_text("Fit a known good plug cap")

    def test_a_stop_must_be_read_before_the_walk_goes_on(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        for words in ("Yes", "Done, go on", "No spark", "As it should be", "Still none"):
            answer(page, words)
        expect(page.locator("#step")).to_contain_text("Do not ride")
        page.get_by_role("button", name="Back", exact=True).click()
        expect(page.locator("h1")).to_contain_text("stop wire unplugged?")
        answer(page, "Still none")
        page.get_by_role("button", name="I have read this").click()
        expect(page.locator("h1")).to_have_text("Push it home, or call a mechanic")

    def test_back_and_history_return_to_an_earlier_step(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        expect(page.get_by_role("button", name="Back")).to_be_disabled()
        for words in ("Yes", "Done, go on", "No spark"):
            answer(page, words)
        page.get_by_role("button", name="Back", exact=True).click()
        expect(page.locator("h1")).to_contain_text("Does a spark jump")
        page.locator("#history button").first.click()
        expect(page.locator("h1")).to_contain_text("stop switch")
        expect(page.locator("#history li")).to_have_count(0)

    def test_progress_outlives_a_reload_until_it_is_forgotten(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        answer(page, "Yes")
        answer(page, "Done, go on")
        page.reload()
        expect(page.locator("h1")).to_contain_text("Does a spark jump")
        expect(page.locator("#history li")).to_have_count(2)
        page.get_by_role("button", name="Start over").click()
        page.get_by_role("button", name="Forget all answers?").click()
        page.reload()
        expect(page.locator("h1")).to_contain_text("stop switch")

    @pytest.mark.parametrize(
        "kept", ["[[[", "7", '[{"at": "elsewhere", "branch": 0}]', '[{"at": "switch", "branch": 99}]']
    )
    def test_a_damaged_record_is_left_aside(self, browser: Browser, tmp_path: Path, kept: str) -> None:
        page = opened(browser, tmp_path, spark_chart())
        answer(page, "Yes")
        page.evaluate(
            """kept => {
              const walk = Object.keys(localStorage).find((key) => key.startsWith("kickover-walk"));
              localStorage.setItem(walk, kept);
            }""",
            kept,
        )
        page.reload()
        expect(page.locator("h1")).to_contain_text("stop switch")

    def test_the_record_of_one_chart_is_not_taken_for_that_of_another(
        self, browser: Browser, tmp_path: Path
    ) -> None:
        page = opened(browser, tmp_path, spark_chart())
        answer(page, "Yes")
        (tmp_path / "chart.html").write_text(chart_page(long_chart(3), DATE), encoding="utf-8")
        page.reload()
        expect(page.locator("#history li")).to_have_count(0)

    def test_it_can_be_walked_with_the_keyboard_alone(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        page.keyboard.press("Tab")
        page.keyboard.press("Enter")
        expect(page.locator("h1")).to_have_text("Take the plug out")
        assert page.evaluate("document.activeElement.tagName") == "H1"
        page.keyboard.press("Tab")
        page.keyboard.press("Space")
        expect(page.locator("h1")).to_contain_text("Does a spark jump")

    @pytest.mark.parametrize("dark", [False, True])
    def test_text_stands_out_from_its_ground_in_both_themes(
        self, browser: Browser, tmp_path: Path, dark: bool
    ) -> None:
        page = opened(browser, tmp_path, spark_chart(), dark=dark)
        ground = "rgb(20, 20, 20)" if dark else "rgb(255, 255, 255)"
        assert page.evaluate("getComputedStyle(document.body).backgroundColor") == ground
        for selector in ("body", ".answers button", "#restart"):
            assert contrast(page, selector) >= 7  # WCAG 2.2, 1.4.6 Contrast (Enhanced)

    def test_the_theme_can_be_turned_and_is_kept(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        page.get_by_role("button", name="Dark or light").click()
        expect(page.locator("body")).to_have_css("background-color", "rgb(20, 20, 20)")
        page.reload()
        expect(page.locator("body")).to_have_css("background-color", "rgb(20, 20, 20)")

    def test_without_scripts_all_steps_are_there_to_read(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart(), scripts=False)
        expect(page.locator("article")).to_have_count(len(spark_chart().nodes))
        expect(page.locator("article").first).to_be_visible()
        expect(page.locator("main")).to_be_hidden()

    def test_printed_it_is_the_whole_chart(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        says = " ".join(text_of(page.pdf(format="A4")).split())
        assert "12. Push it home, or call a mechanic" in says
        assert "High voltage: The lead carries thousands of volts" in says
        assert "Dark or light" not in says

    def test_words_that_look_like_markup_stay_words(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, hostile_chart())
        expect(page.locator("h1")).to_contain_text("</script><img src=x onerror=alert(1)>")
        assert page.locator("img").count() == 0

    def test_every_control_has_a_name(self, browser: Browser, tmp_path: Path) -> None:
        page = opened(browser, tmp_path, spark_chart())
        for words in ("Yes", "Done, go on", "No spark"):
            answer(page, words)
        tree = page.locator("body").aria_snapshot()
        assert 'textbox "Your reading"' in tree
        assert 'combobox "Unit"' in tree
        assert not re.search(r"- (button|textbox|combobox)(:|$)", tree, re.MULTILINE)


def contrast(page: Page, selector: str) -> float:
    """The contrast ratio of WCAG 2.2 between an element's text and its own ground."""
    colours: list[list[float]] = page.evaluate(
        """selector => {
          const style = getComputedStyle(document.querySelector(selector));
          const parts = (one) => one.match(/[\\d.]+/g).slice(0, 3).map(Number);
          return [parts(style.color), parts(style.backgroundColor)];
        }""",
        selector,
    )
    light, dark = sorted((luminance(colour) for colour in colours), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: list[float]) -> float:
    """Relative luminance by WCAG 2.2."""
    parts = [one / 255 for one in colour]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
