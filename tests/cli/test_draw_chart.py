"""`kickover draw chart`, with the shipped library and charts that are cut short so that they are quick."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from documents.pdf_text import pages_of
from kickover import api
from kickover.cli import draw_chart, main
from kickover.cli.progress import Counter
from kickover.core.ids import EventId
from kickover.model.library import Is


def run(*arguments: str) -> int:
    return main.run(["draw", "chart", *arguments])


SHORT = ("races", "--machine", "points-moped", "--least", "0.3")


def test_without_a_file_the_dot_text_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SHORT) == 0
    assert capsys.readouterr().out.startswith("digraph")


@pytest.mark.parametrize(
    ("ending", "begins"),
    [("svg", b"<?xml"), ("pdf", b"%PDF-"), ("png", b"\x89PNG"), ("html", b"<!DOCTYPE html>")],
)
def test_the_ending_of_the_file_tells_what_is_drawn(tmp_path: Path, ending: str, begins: bytes) -> None:
    file = tmp_path / f"chart.{ending}"
    assert run(*SHORT, "-o", str(file)) == 0
    assert file.read_bytes()[:15].lower().startswith(begins.lower())


def test_sheets_and_cards_are_printed_on_the_paper_asked_for(tmp_path: Path) -> None:
    sheets, card = tmp_path / "sheets.pdf", tmp_path / "card.pdf"
    assert run(*SHORT, "--paper", "letter", "-o", str(sheets)) == 0
    assert run(*SHORT, "--paper", "letter", "--card", "-o", str(card)) == 0
    assert len(pages_of(sheets.read_bytes())) > 1
    assert len(pages_of(card.read_bytes())) == 1
    assert all(page.wide == pytest.approx(11 * 72) for page in pages_of(card.read_bytes()))


def test_json_tells_the_chart_and_its_exact_numbers(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SHORT, "--kit", "pouch", "--given", "engine-cold", "--json") == 0
    data = json.loads(capsys.readouterr().out)
    assert data["confirmed"] + data["beyond"] <= 1 + 1e-9
    assert data["minutes"] > 0
    assert data["chart"]["nodes"][0]["id"] == data["chart"]["start"]
    assert any("rider's pouch" in note for note in data["chart"]["notes"])


def test_only_named_tools_are_used(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SHORT, "--tools", "multimeter,clip-lead", "--json") == 0
    nodes = json.loads(capsys.readouterr().out)["chart"]["nodes"]
    assert {tool for node in nodes for tool in node["tools"]} <= {"Multimeter", "Clip lead"}


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (("racess", "--machine", "points-moped"), 1, "did you mean 'races'"),
        (("races", "--machine", "points-mopeds"), 1, "did you mean 'points-moped'"),
        (("races", "--machine", "points-moped", "--given", "engine-hott"), 1, "did you mean 'engine-hot'"),
        (("races", "--machine", "points-moped", "--tools", "plug-sockets"), 1, "did you mean 'plug-socket'"),
        (("races", "--machine", "points-moped", "--kit", "pouch", "--tools", "x"), 2, "not both"),
        (("races", "--machine", "points-moped", "--card"), 2, "FILE.pdf"),
        (("races", "--machine", "points-moped", "-o", "chart.bmp"), 2, "end its name in one of"),
        (("races", "--machine", "points-moped", "--least", "0"), 2, "--least"),
        (("races",), 2, "--machine"),
        ((*SHORT, "-o", "/nowhere/chart.svg"), 1, "its folder does not exist"),
    ],
)
def test_what_cannot_be_done_is_told_in_words(
    arguments: tuple[str, ...], code: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*arguments) == code
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in " ".join(shown.err.split())


def test_a_complaint_that_the_machine_cannot_have_is_refused(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    known = api.load().library
    races = known.complaints[EventId("races")]
    only_batteries = replace(races, gate=replace(races.gate, only_if=Is("battery-coil")))
    library = replace(known, complaints={**known.complaints, EventId("races"): only_batteries})
    monkeypatch.setattr(draw_chart, "open_library", lambda _: api.Loaded(library))
    assert run(*SHORT) == 1
    assert "cannot have the complaint 'races'" in capsys.readouterr().err


def test_progress_is_counted_once_it_takes_long(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    now = iter([0.0, 0.5, 1.5, 1.5, 2.0, 7.0, 7.0])
    monkeypatch.setattr("kickover.cli.progress.time.monotonic", lambda: next(now))
    with Counter("steps") as counter:
        for _ in range(4):
            counter.step()
    assert capsys.readouterr().err.splitlines() == ["2 steps ...", "4 steps ..."]
