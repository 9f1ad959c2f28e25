from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from documents.pdf_text import pages_of
from kickover.documents.charts.chart_gallery import (
    chart_digest,
    held_digest,
    renew_charts,
    shipped_charts,
    stale_charts,
)
from kickover.documents.charts.compiling import compile_chart
from worlds.tree_library import courier_library

DATE = "25 November 2026"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    assert len(list(renew_charts(tmp_path, courier_library(), DATE))) == 6
    return tmp_path


def test_every_complaint_has_a_picture_sheets_and_a_card_for_each_machine(folder: Path) -> None:
    names = {path.name for path in folder.iterdir()}
    assert "chart-will-not-start-hill-clip-on.svg" in names
    assert "chart-will-not-start-valley-moped.svg" in names
    assert sum(name.startswith("sheets-") for name in names) == 2
    assert sum(name.startswith("card-") for name in names) == 2


def test_renewed_charts_are_not_stale_and_not_drawn_again(folder: Path) -> None:
    assert stale_charts(folder, courier_library()) == ()
    assert list(renew_charts(folder, courier_library(), "26 November 2026")) == []


def test_a_new_version_of_the_library_makes_all_charts_stale(folder: Path) -> None:
    newer = replace(courier_library(), version="1.1+def")
    assert len(stale_charts(folder, newer)) == 6


def test_a_missing_file_is_stale_and_an_unwanted_one_goes(folder: Path) -> None:
    (folder / "chart-will-not-start-hill-clip-on.svg").rename(folder / "chart-old.svg")
    assert stale_charts(folder, courier_library()) == (
        "chart-old.svg",
        "chart-will-not-start-hill-clip-on.svg",
    )
    list(renew_charts(folder, courier_library(), DATE))
    assert stale_charts(folder, courier_library()) == ()
    assert not (folder / "chart-old.svg").exists()


def test_files_of_others_are_left_alone(folder: Path) -> None:
    (folder / "chart-by-hand.svg").write_text("<svg/>")
    list(renew_charts(folder, courier_library(), DATE))
    assert (folder / "chart-by-hand.svg").exists()


def test_each_file_holds_the_digest_of_its_chart_and_still_opens(folder: Path) -> None:
    library = courier_library()
    for shipped in shipped_charts(library):
        chart = compile_chart(shipped.session(library), shipped.printing(library)).chart
        for name in shipped.files.values():
            assert held_digest(folder / name) == chart_digest(chart)
            if name.endswith(".pdf"):
                assert pages_of((folder / name).read_bytes())
