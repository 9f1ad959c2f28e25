"""What may be laid over a library: rates and error rates, and nothing that cautions or forbids."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.typed import run_typed
from kickover.authoring.cache import load_cached
from kickover.authoring.loading import load_library, load_or_raise
from kickover.cli.main import run
from kickover.core.ids import CheckId, EventId, FindingId, SourceId
from kickover.model.library import Library
from worlds.tiny_library import write_library

RATES = "sources:\n  ours: {title: Ours, kind: practice}\ncauses:\n  plug-fouled: {rate: 5, source: ours}\n"


def overlaid(tmp_path: Path, text: str) -> tuple[Library, list[str]]:
    base, over = write_library(tmp_path / "base"), tmp_path / "mine.yaml"
    over.write_text(text, encoding="utf-8")
    library, problems = load_library(base, overlays=[over])
    assert library is not None
    return library, [str(problem) for problem in problems]


def test_a_rate_is_changed_and_the_rest_of_the_cause_stays(tmp_path: Path) -> None:
    library, problems = overlaid(tmp_path, RATES)
    assert problems == []
    cause = library.causes[EventId("plug-fouled")]
    assert (cause.title, cause.rate, cause.sources) == ("Plug fouled", 5.0, ("ours",))


def test_error_rates_are_changed_and_the_rest_of_the_check_stays(tmp_path: Path) -> None:
    library, problems = overlaid(
        tmp_path,
        "checks:\n  switch-off-lead: {miss: 0.2}\n  spark-at-plug:\n    expect:\n"
        "      - {when: no-spark, chances: {none: 0.8, strong: 0.2}}\n"
        "      - {chances: {none: 0.1, strong: 0.9}}\n",
    )
    assert problems == []
    lead, spark = library.checks[CheckId("switch-off-lead")], library.checks[CheckId("spark-at-plug")]
    assert (lead.lines[0].chances[FindingId("no")], lead.needs.hazards) == (0.2, ("high-voltage",))
    assert (spark.lines[0].chances[FindingId("strong")], spark.needs.hazards) == (0.2, ("high-voltage",))


def test_an_entry_written_out_whole_may_say_again_what_the_library_says(tmp_path: Path) -> None:
    _, problems = overlaid(
        tmp_path, "causes:\n  plug-fouled: {title: Plug fouled, rate: 5, source: estimate}\n"
    )
    assert problems == []


BEYOND = {
    "a caution emptied": ("hazards:\n  high-voltage: {title: None, caution: All is well.}\n", 2),
    "a step's hazards taken": ("checks:\n  spark-at-plug:\n    miss: 0.1\n    hazards: []\n", 4),
    "a ban lifted": ("causes:\n  plug-fouled:\n    rate: 5\n    ride: true\n", 4),
    "a title": ("causes:\n  plug-fouled:\n    title: Nothing\n    rate: 5\n", 3),
    "a condition": ("causes:\n  switch-shorted: {rate: 5, only_if: four-stroke}\n", 2),
    "a line of a check": (
        "checks:\n  spark-at-plug:\n    expect:\n      - {chances: {none: 0, strong: 1}}\n",
        3,
    ),
    "a new cause": ("causes:\n  ice: {title: Ice, rate: 5}\n", 2),
    "settings": ("settings: {order: 1}\n", 1),
    "a repair": ("repairs:\n  new-plug: {title: A, roadside: false, how: [B], minutes: 1}\n", 2),
    "a gate made a cause": ("causes:\n  no-spark: {title: No spark, rate: 5}\n", 2),
    "the heading": ('library: {title: Mine, version: "9"}\n', 1),
}


@pytest.mark.parametrize(("text", "line"), BEYOND.values(), ids=list(BEYOND))
def test_anything_but_rates_is_refused_in_its_line(tmp_path: Path, text: str, line: int) -> None:
    library, problems = overlaid(tmp_path, text)
    assert any(problem.startswith(f"{tmp_path}/mine.yaml:{line}: ") for problem in problems)
    assert all("`--library`" in problem for problem in problems)
    plain = load_or_raise(tmp_path / "base")
    assert (library.causes, library.checks, library.hazards, library.settings, library.title) == (
        plain.causes,
        plain.checks,
        plain.hazards,
        plain.settings,
        plain.title,
    )


def test_a_source_of_the_library_stays_as_it_is(tmp_path: Path) -> None:
    first, second = tmp_path / "first.yaml", tmp_path / "second.yaml"
    first.write_text(RATES, encoding="utf-8")
    second.write_text(RATES.replace("title: Ours", "title: Ours again"), encoding="utf-8")
    base = write_library(tmp_path / "base")
    assert load_or_raise(base, overlays=[first, second]).sources[SourceId("ours")].title == "Ours again"
    _, problems = overlaid(tmp_path, "sources:\n  estimate: {title: Sure, kind: published}\n")
    assert [problem.split(";")[0] for problem in problems] == [
        f"{tmp_path}/mine.yaml:2: the source `estimate` is in the library already"
    ]


def test_what_is_laid_over_is_known_by_file_and_counts_also_from_the_cache(tmp_path: Path) -> None:
    over = tmp_path / "mine.yaml"
    over.write_text(RATES + "checks:\n  switch-off-lead: {miss: 0.2}\n", encoding="utf-8")
    base, cache = write_library(tmp_path / "base"), tmp_path / "cache"
    for library in (load_cached(base, cache, overlays=[over]), load_cached(base, cache, overlays=[over])):
        assert list(map(str, library.laid_over.values())) == ["rates changed by mine.yaml: 1 cause, 1 check"]
        assert library.edition.endswith("; rates changed by mine.yaml: 1 cause, 1 check")
    assert load_or_raise(base).edition.endswith(load_or_raise(base).version)


def test_walk_report_ranking_and_sheets_say_what_is_laid_over(
    yard_folder: Path,
    tmp_path: Path,
    home: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    over = tmp_path / "mine.yaml"
    over.write_text("causes:\n  chain-loose: {rate: 5}\n", encoding="utf-8")
    told = "ates changed by mine.yaml: 1 cause, 0 checks"
    with_it = ["--library", str(yard_folder), "--overlay", str(over)]
    assert (
        run_typed(monkeypatch, "quit\n", "walk", "no-power", "--machine", "moped", "--plain", *with_it) == 0
    )
    assert f"R{told}." in capsys.readouterr().out
    (walk,) = (home / "walks").glob("*")
    for command in (
        ["report", walk.stem],
        ["rank", "no-power", "--machine", "moped"],
        ["draw", "tree", "no-power"],
    ):
        assert run([*command, *with_it]) == 0
        assert told in capsys.readouterr().out.replace("\n", " ")
    page = tmp_path / "page.html"
    assert run(["draw", "chart", "no-power", "--machine", "moped", "-o", str(page), *with_it]) == 0
    assert told in page.read_text(encoding="utf-8")
