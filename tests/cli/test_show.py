"""`kickover show` and the filters of `kickover list`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kickover.cli.main import run
from kickover.documents.reference.entry_page import EntryPage, entries, entry_pages
from kickover.model.library import Library


def said(capsys: pytest.CaptureFixture[str], *words: str, code: int = 0) -> str:
    assert run(list(words)) == code
    caught = capsys.readouterr()
    return caught.out if code == 0 else caught.err


def part(page: EntryPage, title: str) -> tuple[str, ...]:
    return next(one.lines for one in page.parts if one.title.startswith(title))


def test_everything_of_a_library_has_a_page(shipped: Library) -> None:
    machine = next(iter(shipped.machines.values()))
    for kind, group in entries(shipped).items():
        for id_ in group:
            pages = entry_pages(shipped, id_)
            assert any(page.kind == kind and page.parts for page in pages), id_
    measured = [
        check for check in shipped.checks.values() if check.reading and machine.fits(check.needs.only_if)
    ]
    for check in measured:
        page = entry_pages(shipped, check.id, machine)[0]
        assert len(part(page, "Limits on")) == len(check.findings)


def test_a_cause_says_where_it_stands_and_what_sees_and_cures_it(yard: Library) -> None:
    (page,) = entry_pages(yard, "plug-fouled")
    assert any("It will not start" in line or "not start" in line for line in part(page, "It leads to"))
    assert any("(new-plug)" in line and "lasting" in line for line in part(page, "Repairs"))
    assert part(page, "Checks that see it")


def test_findings_are_shown_as_rank_takes_them(
    yard_folder: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ["--library", str(yard_folder)]
    text = said(capsys, "show", "tap-look", *library)
    finding = next(line.split()[0] for line in text.splitlines() if line.strip().startswith("tap-look="))
    assert run(["rank", "will-not-start", "--machine", "moped", "--saw", finding, *library]) == 0


def test_limits_are_those_of_the_machine(
    yard_folder: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ["--library", str(yard_folder)]
    assert "--machine" in said(capsys, "show", "compression", *library)
    assert "from 6.4 bar" in said(capsys, "show", "compression", "--machine", "moped", *library)


def test_own_words_find_things_and_one_that_fits_alone_is_shown(
    home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    several = said(capsys, "show", "stop", "switch")
    assert "kill-switch-shorted" in several
    assert "dry-stop-switch" in several or "fit-new-stop-switch" in several
    pages = json.loads(said(capsys, "show", "flywheel-key-sheared", "--json"))
    assert [page["kind"] for page in pages] == ["cause"]


def test_near_names_of_things_and_of_commands(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "did you mean 'kill-switch-shorted'" in said(capsys, "show", "kill-swich-shorted", code=1)
    assert "did you mean 'rank'" in said(capsys, "rnak", code=2)
    assert "--help" in said(capsys, "zzzz", code=2)


def test_list_by_complaint_kind_and_words(
    yard_folder: Path, home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ["--library", str(yard_folder), "--json"]

    def ids(*words: str) -> set[str]:
        return {row["id"] for row in json.loads(said(capsys, "list", *words, *library))}

    under = ids("causes", "--for", "smokes")
    assert under
    assert under < ids("causes")
    measures = ids("checks", "--kind", "measure")
    assert "compression" in measures
    assert "tap-look" not in measures
    assert "tap-shut" in ids("causes", "fuel", "tap")
    assert run(["list", "kits", "--for", "smokes", *library]) == 2
    assert run(["list", "causes", "--for", "smoke", *library]) == 1


def test_own_machines_stand_in_the_list(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    own = home / "machines" / "shed-moped.yaml"
    own.parent.mkdir(parents=True)
    own.write_text("machine: {id: shed-moped, title: Shed moped, traits: [two-stroke]}\n", encoding="utf-8")
    assert "shed-moped" in said(capsys, "list", "machines")
    assert "Shed moped" in said(capsys, "show", "shed-moped")
