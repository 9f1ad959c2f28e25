"""The walk in a real pseudo-terminal, at the widths of a phone, a terminal and a bench screen."""

from __future__ import annotations

import random
import re
import signal
from pathlib import Path

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.session.journal import journals, read
from kickover.session.session import Phase, begin
from kickover.ui.dialogue import Dialogue
from kickover.ui.input_handling import handle_input
from session.rider import Rider
from slow_part import mostly_slow
from ui.real_terminal import RealTerminal

COLOURS = re.compile(rb"\x1b\[[0-9;]*(?:3[0-7]|4[0-7]|9[0-7]|10[0-7]|38;|48;)[0-9;]*m")


def on_yard(folder: Path, home: Path, *arguments: str, columns: int = 80, rows: int = 24) -> RealTerminal:
    """A walk on the yard's moped, its first question on the screen."""
    given = arguments or ("will-not-start", "--machine", "moped")
    walk = RealTerminal(["walk", *given, "--library", str(folder)], home, columns=columns, rows=rows)
    walk.wait_for("Answer:" if arguments == () else "help")
    return walk


WALKS = [
    ("clip-on-two-stroke", "will-not-start", "tap-shut", 40, 24),
    ("four-stroke-49", "no-spark-seen", "plug-fouled-wet", 140, 40),
    ("points-moped", "no-spark-seen", "", 80, 24),
]


@pytest.mark.parametrize(("machine", "complaint", "cause", "columns", "rows"), mostly_slow(WALKS, 2))
def test_a_walk_reaches_a_confirmed_repair(
    shipped: Library,
    read_before: Path,
    tmp_path: Path,
    machine: str,
    complaint: str,
    cause: str,
    columns: int,
    rows: int,
) -> None:
    (tmp_path / "cache").symlink_to(read_before)
    session = begin(shipped, shipped.machines[MachineId(machine)], [EventId(complaint)])
    ranked = [one.cause for one in session.belief.ranking()]
    hidden = EventId(cause) if cause in ranked else ranked[0]
    rider = Rider(session.model, frozenset({hidden}))
    mirror = Dialogue(session)
    walk = RealTerminal(["walk", complaint, "--machine", machine], tmp_path, columns=columns, rows=rows)
    for _ in range(80):
        task = mirror.task()
        screen = mirror.screen()
        walk.wait_for(screen.heading)
        walk.wait_for(f"{screen.prompt}:")
        assert walk.shows(screen.keys[-1].key)
        if columns >= 100 and screen.aside:
            assert walk.shows("Likely causes")
            assert "|" in walk.text()
        if task.phase in {Phase.MENDED, Phase.GIVEN_UP}:
            break
        line = rider.says(mirror.session, task)
        mirror = handle_input(mirror, line)
        walk.type(line)
    assert mirror.task().phase is Phase.MENDED
    walk.wait_for("It is cured")
    walk.type("quit")
    assert walk.finish() == 0
    assert walk.shows("Cured. The walk is kept as")
    record = read(journals(tmp_path / "walks")[0])
    assert record.closed == "mended"
    assert tuple(stamped.entry for stamped in record.entries) == mirror.session.entries


def test_setting_out_asks_for_all_on_a_phone(yard_folder: Path, tmp_path: Path) -> None:
    walk = RealTerminal(["walk", "--library", str(yard_folder)], tmp_path, columns=40, rows=24)
    for shown, typed in (
        ("Which machine is it?", "moepd"),
        ("did you mean moped", "moped"),
        ("What is wrong? Say it in your own words.", "it runs so badly"),
        ("Is it one of these? Or say it in other words. 1 It runs badly", ""),
        ("Which of these are true?", ""),
        ("What is at hand?", "pouch"),
    ):
        walk.wait_for(shown)
        walk.type(typed)
    walk.wait_for("tep 1")
    walk.type("quit")
    assert walk.finish() == 0


def test_a_machine_is_written_down_in_a_minute_and_kept(yard_folder: Path, tmp_path: Path) -> None:
    walk = RealTerminal(["walk", "--library", str(yard_folder)], tmp_path)
    walk.wait_for("write it down in a minute")
    walk.type("new")
    walk.wait_for("What do you call it?")
    walk.type("My grey moped")
    walk.wait_for("Stroke: what has it?")
    walk.type("1")
    for group in ("Stopping", "Ignition", "Start"):
        walk.wait_for(f"{group}: what has it?")
        walk.type("")
    walk.wait_for("Good pressure?")
    walk.type("rest")
    walk.wait_for("What is wrong?")
    walk.type("smokes")
    walk.wait_for("Is it one of these?")
    walk.type("1")
    walk.wait_for("Which of these are true?")
    walk.type("")
    walk.wait_for("What is at hand?")
    walk.type("1")
    walk.wait_for("tep 1")
    walk.send("\x04")
    assert walk.finish() == 0
    assert (tmp_path / "machines" / "my-grey-moped.yaml").is_file()
    again = RealTerminal(["walk", "--resume", "--library", str(yard_folder)], tmp_path)
    again.wait_for("Resumed with 0 answers")
    again.type("quit")
    assert again.finish() == 0


def test_the_screen_follows_a_resize_while_asking(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path, columns=80)
    assert not walk.shows("Likely causes")
    walk.resize(140, 40)
    walk.wait_for("Likely causes")
    walk.resize(40, 24)
    walk.wait_for("why, back")
    assert "|" not in walk.text()
    walk.resize(20, 6)
    walk.resize(80, 24)
    walk.wait_for("why: why this | back")
    walk.type("1")
    walk.wait_for("tep 2")
    walk.send("\x03")
    assert walk.finish() == 0


def test_long_pages_scroll_by_enter_and_page_keys(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path, rows=12)
    walk.type("help")
    walk.wait_for("What you can type:")
    walk.wait_for("more: Enter or PageDown")
    walk.type("")
    walk.wait_for("how this step is done")
    walk.send("\x1b[5~")
    walk.wait_for("What you can type:")
    for _ in range(5):
        walk.send("\x1b[6~")
    walk.wait_for("can be resumed")
    walk.type("")
    walk.wait_for("tep 1")
    walk.send("\x03")
    assert walk.finish() == 0


JUNK = "x" * 40 + "\x1b[31mred\x1b[0m \x1b]0;title\x07 \u202e 🙂 \x00\x01\x02\r\nsecond line\r\n"


def test_a_reply_is_seen_although_the_question_is_longer_than_the_screen(tmp_path: Path) -> None:
    walk = RealTerminal(
        ["walk", "no-spark-seen", "--machine", "clip-on-two-stroke"], tmp_path, columns=40, rows=12
    )
    walk.wait_for("(more: Enter or PageDown)")
    walk.type("900 psi")
    walk.wait_for("'900 psi' is none of the choices")
    assert walk.shows("(more: Enter or PageDown)")
    walk.type("quit")
    assert walk.finish() == 0


def test_a_paste_of_junk_is_one_harmless_line(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.send(f"\x1b[200~{JUNK}\x1b[201~".encode())
    walk.wait_for("second line")
    walk.type("")
    walk.wait_for("is none of the choices")
    assert b"\x1b]0;title" not in walk.written
    assert b"\x1b[31mred" not in walk.written
    assert walk.shows("tep 1")
    walk.send("\x03")
    assert walk.finish() == 0


def test_megabytes_of_paste_do_not_hang_the_walk(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.send("\x1b[200~")
    for _ in range(64):
        walk.send("pasted junk " * 1365)
        walk.wait_for("tep 1")
    walk.send("\x1b[201~")
    walk.wait_for("nothing of it was taken")
    assert not walk.shows("pasted junk")
    walk.type("1")
    walk.wait_for("tep 2")
    walk.send("\x03")
    assert walk.finish() == 0


@pytest.mark.parametrize("ending", ["\x03", "\x04", "quit\r"])
def test_leaving_saves_the_walk_and_says_how_to_go_on(yard_folder: Path, tmp_path: Path, ending: str) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.type("1")
    walk.wait_for("tep 2")
    walk.send(ending)
    assert walk.finish() == 0
    assert walk.shows("Saved. Go on with: kickover walk")
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 1


def test_giving_up_ends_with_1(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.type("stop")
    walk.wait_for("The walk ends without a confirmed repair.")
    walk.type("")
    assert walk.finish() == 1
    assert walk.shows("Stopped. The walk is kept as")


def test_without_colour_none_is_used_and_with_it_words_say_it_all(yard_folder: Path, tmp_path: Path) -> None:
    arguments = ["walk", "smokes", "--machine", "moped", "--library", str(yard_folder)]
    plain = RealTerminal(arguments, tmp_path, environment={"NO_COLOR": "1"})
    plain.wait_for("tep 1")
    plain.send("\x03")
    plain.finish()
    assert not COLOURS.search(bytes(plain.written))
    coloured = RealTerminal(arguments, tmp_path)
    coloured.wait_for("tep 1")
    coloured.send("\x03")
    coloured.finish()
    marks = set(COLOURS.findall(bytes(coloured.written)))
    assert marks <= {b"\x1b[0;1;31m", b"\x1b[0;31;1m"}, "colour is for cautions alone"


def test_words_are_completed_by_the_tabulator(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.send("likel\t")
    walk.wait_for("Answer: likely")
    walk.type("")
    walk.wait_for("Something not listed here")
    walk.send("\x03")
    assert walk.finish() == 0


def test_one_key_answers_and_the_enter_of_habit_after_it_does_nothing(
    yard_folder: Path, tmp_path: Path
) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.send("1")
    walk.wait_for("tep 2")
    walk.send("\r")
    walk.send("2")
    walk.wait_for("tep 3")
    walk.send("\x03")
    assert walk.finish() == 0
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 2


def test_with_the_setting_off_a_digit_waits_for_enter(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path, "will-not-start", "--machine", "moped", "--enter")
    walk.send("1")
    walk.wait_for("Answer: 1")
    assert walk.shows("tep 1")
    walk.send("\r")
    walk.wait_for("tep 2")
    walk.send("\x03")
    assert walk.finish() == 0


def test_arrows_mark_a_choice_and_enter_takes_it(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.send("\x1b[B")
    walk.wait_for("> 1")
    walk.send("\x1b[B")
    walk.wait_for("> 2")
    walk.send("\r")
    walk.wait_for("tep 2")
    walk.send("\x03")
    assert walk.finish() == 0
    (entry,) = (stamped.entry for stamped in read(journals(tmp_path / "walks")[0]).entries)
    assert getattr(entry, "finding", "") == "no"


def test_a_folder_that_cannot_be_written_does_not_stop_the_walk(yard_folder: Path, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    walk = on_yard(yard_folder, tmp_path / "file")
    walk.wait_for("NOT SAVED")
    walk.type("1")
    walk.wait_for("tep 2")
    walk.type("quit")
    assert walk.finish() == 1
    assert walk.shows("NOT SAVED")


def test_a_few_hundred_random_keys_leave_a_screen_that_answers(yard_folder: Path, tmp_path: Path) -> None:
    luck = random.Random(5)
    keys = [
        *"123 abwhyslkqx?",
        "\r",
        "\r",
        "\t",
        "\x7f",
        "\x1b[A",
        "\x1b[B",
        "\x1b[5~",
        "\x1b[6~",
        "\x01",
        "\x0b",
    ]
    keys += [
        "\x1b",
        "\x16",
        "\x12",
        "\x0c",
        "back\r",
        "likely\r",
        "1\r",
        "2\r",
        "skip\r",
        "é",
        "🙂",
        "\x1bOP",
    ]
    walk = on_yard(yard_folder, tmp_path)
    for _ in range(400):
        walk.send(luck.choice(keys))
    walk.send("\x1b\x07\x15")
    walk.type("back")
    walk.type("help")
    walk.wait_for("help")
    walk.send("\x03")
    assert walk.finish() in {0, 1}
    assert "Traceback" not in walk.plainly_written()
    assert "Unhandled exception" not in walk.plainly_written()


def test_a_terminated_walk_loses_nothing(yard_folder: Path, tmp_path: Path) -> None:
    walk = on_yard(yard_folder, tmp_path)
    walk.type("2")
    walk.wait_for("tep 2")
    walk._child.kill(signal.SIGTERM)
    walk.finish()
    assert len(read(journals(tmp_path / "walks")[0]).entries) == 1
