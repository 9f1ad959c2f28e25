"""`kickover walk`, `walks`, `report` and `machine` as commands: what they print, keep and leave with."""

from __future__ import annotations

import json
from pathlib import Path
from zlib import crc32

import pdfplumber
import pytest

from cli.typed import run_typed, walked
from kickover.api import load
from kickover.cli.main import run
from kickover.core.ids import EventId
from kickover.session.journal import journals, read
from kickover.session.session import Phase
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from session.rider import Rider


@pytest.fixture
def cured(yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """The name of a walk that ended with a cure."""
    assert walked(monkeypatch, yard_folder, to_a_cure(yard_folder)) == 0
    return journals(home / "walks")[0].stem


def to_a_cure(folder: Path) -> str:
    """The lines that lead through a walk on a loose chain, whatever the order of its steps."""
    session = load(folder).walk("no-power", "moped").session
    rider = Rider(session.model, frozenset({EventId("chain-loose")}))
    dialogue, typed = Dialogue(session), ["note squeaks"]
    while True:
        line = rider.says(dialogue.session, dialogue.task())
        typed.append(line)
        if dialogue.task().phase is Phase.MENDED:
            return "\n".join([*typed, ""])
        dialogue = handle_input(dialogue, line)


def test_a_walk_to_a_cure_is_kept_and_leaves_with_0(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert walked(monkeypatch, yard_folder, to_a_cure(yard_folder)) == 0
    printed = capsys.readouterr().out
    (path,) = journals(home / "walks")
    assert "It is cured" in printed
    assert f"Cured. The walk is kept as {path.stem}." in printed
    assert f"kickover report {path.stem} -o report.pdf" in printed
    assert read(path).closed == "mended"


def test_giving_up_leaves_with_1_and_leaving_with_0(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert walked(monkeypatch, yard_folder, "stop\n\n") == 1
    assert walked(monkeypatch, yard_folder, "quit\n") == 0
    assert walked(monkeypatch, yard_folder, "") == 0
    assert len(journals(home / "walks")) == 3


def test_leaving_before_the_walk_begins_keeps_nothing(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run_typed(monkeypatch, "moped\n", "walk", "--library", str(yard_folder)) == 0
    assert "nothing to save" in capsys.readouterr().out
    assert journals(home / "walks") == ()


def test_ones_own_words_on_the_command_line_are_confirmed(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    walked(monkeypatch, yard_folder, "1\n\n1\nquit\n", complaint="it is so weak")
    printed = capsys.readouterr().out
    assert "1  It has no power" in printed
    assert read(journals(home / "walks")[0]).heading.complaints == ("no-power",)


def test_several_open_walks_are_listed_and_one_is_named(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ("--library", str(yard_folder))
    assert run_typed(monkeypatch, "", "walk", "--resume", *library) == 1
    assert "There is no open walk." in capsys.readouterr().out
    walked(monkeypatch, yard_folder, "note one\nquit\n")
    walked(monkeypatch, yard_folder, "note two\nquit\n", complaint="smokes")
    (home / "walks" / "00-broken.walk").write_text("junk\n")
    capsys.readouterr()
    assert run_typed(monkeypatch, "", "walk", "--resume", *library) == 1
    printed = capsys.readouterr().out
    assert "Several walks are open" in printed
    assert printed.count("open, moped, 1 answers") == 2
    assert "not the journal of a walk" in printed
    assert run_typed(monkeypatch, "answers\n", "walk", "smokes", "--resume", *library) == 0
    assert "1. Note: two" in capsys.readouterr().out
    assert run_typed(monkeypatch, "", "walk", "nothing-such", "--resume", *library) == 1
    assert "there is no walk 'nothing-such'" in capsys.readouterr().err


def test_a_walk_of_an_older_library_is_replayed_and_differences_told(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    walked(monkeypatch, yard_folder, "note kept\nquit\n")
    path = journals(home / "walks")[0]
    lines = path.read_bytes().split(b"\n")
    heading = json.loads(lines[0].rpartition(b" ")[0]) | {"version": "0.9"}
    gone = {"what": "answered", "check": "old-check", "finding": "yes", "sureness": "sure", "state": ""}
    texts = [json.dumps(one).encode() for one in (heading, gone)]
    first, old = (b"%s %08x" % (text, crc32(text)) for text in texts)
    path.write_bytes(b"\n".join([first, old, *lines[1:]]))
    library = ("--library", str(yard_folder))
    assert run_typed(monkeypatch, "back\nquit\n", "walk", "--resume", *library) == 0
    printed = capsys.readouterr().out
    assert "The library has changed since this walk began" in printed
    assert "There is no check 'old-check' for Moped; that entry is left out." in printed
    assert read(path).entries == (), "back takes back the note, not the entry that was left out"


def test_walks_are_listed_shown_and_deleted(
    cured: str,
    yard_folder: Path,
    home: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    capsys.readouterr()
    assert run(["walks", "list"]) == 0
    assert f"{cured}  cured, moped" in capsys.readouterr().out
    assert run(["walks", "list", "--json"]) == 0
    (row,) = json.loads(capsys.readouterr().out)
    assert (row["id"], row["state"], row["machine"]) == (cured, "cured", "moped")
    assert run(["walks", "show", cured, "--library", str(yard_folder)]) == 0
    assert "The cause: chain loose." in capsys.readouterr().out
    assert run_typed(monkeypatch, "n\n", "walks", "delete", cured) == 1
    assert journals(home / "walks")
    assert run(["walks", "delete", cured, "--yes"]) == 0
    assert journals(home / "walks") == ()
    assert run(["walks", "show", cured, "--library", str(yard_folder)]) == 1


def test_a_report_holds_all_that_a_customer_asks_for(
    cured: str, yard_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ("--library", str(yard_folder))
    texts = {}
    for ending in ("md", "html", "pdf"):
        file = tmp_path / f"report.{ending}"
        assert run(["report", cured, "-o", str(file), *library]) == 0
        if ending == "pdf":
            with pdfplumber.open(file) as pages:
                texts[ending] = " ".join(page.extract_text() for page in pages.pages)
        else:
            texts[ending] = file.read_text(encoding="utf-8")
    for ending, text in texts.items():
        flat = " ".join(text.split())
        for words in (
            "Moped",
            "It has no power",
            "It is cured, and the cure was proven.",
            "chain loose",
            "Causes over time",
            "Look at the chain",
            "It hangs down",
            "Helmet on.",
            "squeaks",
            "Local law and licensed practice come first",
        ):
            assert words in flat, f"{ending} lacks {words!r}"
    assert "<svg" in texts["html"]
    assert "▁" in texts["md"] or "█" in texts["md"]
    capsys.readouterr()
    assert run(["report", cured, *library]) == 0
    assert capsys.readouterr().out == texts["md"]
    assert run(["report", cured, "-o", "report.docx", *library]) == 2
    assert run(["report", cured, "-o", str(tmp_path / "no" / "r.md"), *library]) == 1
    assert "its folder does not exist" in capsys.readouterr().err


def test_what_people_typed_is_text_in_every_report(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    walked(monkeypatch, yard_folder, "note <script>alert(1)</script> *bold* & \\ Ω 🙂\nquit\n")
    library = ("--library", str(yard_folder))
    for ending in ("md", "html", "pdf"):
        assert run(["report", "no-power", "-o", str(tmp_path / f"r.{ending}"), *library]) == 0
    assert "&lt;script&gt;" in (tmp_path / "r.html").read_text(encoding="utf-8")
    assert "\\<script\\>" in (tmp_path / "r.md").read_text(encoding="utf-8")


def test_the_same_walk_gives_the_same_pages(cured: str, yard_folder: Path, tmp_path: Path) -> None:
    for name in ("one.pdf", "two.pdf"):
        assert run(["report", cured, "-o", str(tmp_path / name), "--library", str(yard_folder)]) == 0
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_a_machine_is_written_down_read_back_and_walked(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ("--library", str(yard_folder))
    typed = "Blue one\n1\n\n\n\n\n"
    assert run_typed(monkeypatch, typed, "machine", "new", "--plain", *library) == 0
    printed = capsys.readouterr().out
    assert "Saved as" in printed
    assert "Good pressure: 7 bar (102 psi)" in printed
    assert run(["machine", "list", *library]) == 0
    assert "blue-one  Blue one" in capsys.readouterr().out
    assert run(["rank", "smokes", "--machine", "blue-one", *library]) == 0
    again = ("machine", "new", "--plain", "-o", str(home / "machines" / "blue-one.yaml"), *library)
    assert run_typed(monkeypatch, typed, *again) == 1
    assert "exists already" in capsys.readouterr().err
    assert run_typed(monkeypatch, "quit\n", "machine", "new", "--plain", *library) == 0
    assert "nothing was written" in capsys.readouterr().out


def test_a_walk_on_a_machine_of_ones_own_goes_on_when_its_file_has_gone(
    yard_folder: Path, home: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    library = ("--library", str(yard_folder))
    run_typed(monkeypatch, "Blue one\n1\n\n\n\n8 bar\n", "machine", "new", "--plain", *library)
    arguments = ("walk", "smokes", "--machine", "blue-one", "--plain", *library)
    assert run_typed(monkeypatch, "note x\nquit\n", *arguments) == 0
    (home / "machines" / "blue-one.yaml").unlink()
    assert run_typed(monkeypatch, "quit\n", "walk", "--resume", *library) == 0
    assert "Resumed with 1 answers." in capsys.readouterr().out


def test_a_walk_goes_on_with_the_library_overlay_kit_and_give_up_that_it_began_with(
    yard_folder: Path,
    home: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    learned = tmp_path / "learned.yaml"
    learned.write_text("causes:\n  chain-loose: {rate: 50}\n", encoding="utf-8")
    kit = tmp_path / "bag.yaml"
    kit.write_text("kit: {id: bag, title: Bag, items: [socket], bench: true}\n", encoding="utf-8")
    begun = ("walk", "no-power", "--machine", "moped", "--kit", str(kit), "--plain")
    laid = ("--library", str(yard_folder), "--overlay", str(learned))
    assert run_typed(monkeypatch, "note x\nquit\n", *begun, *laid) == 0
    path = journals(home / "walks")[0]
    heading = read(path).heading
    bench = load(yard_folder).library.settings.bench_give_up_minutes
    assert (heading.folder, heading.overlays) == (str(yard_folder), (str(learned),))
    assert (heading.items, heading.give_up) == (("socket",), bench)
    capsys.readouterr()
    assert run_typed(monkeypatch, "quit\n", "walk", "--resume", "--plain") == 0
    resumed = capsys.readouterr().out
    assert "has changed" not in resumed
    assert "learned.yaml" in resumed
    learned.unlink()
    assert run_typed(monkeypatch, "quit\n", "walk", "--resume", "--plain") == 0
    assert "is gone; it is left out" in capsys.readouterr().err
    assert run_typed(monkeypatch, "quit\n", "walk", "--resume", "--library", str(yard_folder)) == 0
