"""Random lines, ten thousand in the slow part: no exception, no screen from which no word leads on."""

from __future__ import annotations

import random
from functools import partial
from unicodedata import category

import pytest

from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.planning.lookahead import Effort
from kickover.planning.plan import plan
from kickover.session.entries import from_data, to_data
from kickover.session.session import Phase, begin
from kickover.ui.dialogue import COMMAND_WORDS, Dialogue
from kickover.ui.input_handling import handle_input
from kickover.ui.layout import aside_lines, keys_line, laid_out
from kickover.ui.setup import SetupStage, SetupState
from kickover.ui.setup_screens import SetupWizard, handle_wizard_input

HASTY = Effort(work=0, contenders=1, repairs=1, considered=1, followed=1)
"""Looks no step ahead: the order of the steps matters to no line here."""


@pytest.fixture(autouse=True)
def _hasty(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kickover.session.session.plan", partial(plan, effort=HASTY))


JUNK = (
    "",
    " ",
    "\x00",
    "\x1b[31mred\x1b[0m",
    "\x1b]0;title\x07",
    "\u202egnirts",
    "🙂🙃",
    "\ud800",
    "a" * 5000,
    "-1",
    "1e999",
    "1/0",
    "99999999999999999999",
    "٣",
    "½",
    "'; drop table",
    "{}[]%s%n",
    "../../etc/passwd",
    "NaN",
    "1\n2\n3",
    "\t\t",
)
ANSWERS = (
    "1",
    "2",
    "3",
    "yes",
    "no",
    "done",
    "62 psi",
    "0,4 kΩ",
    "OL",
    "3-5",
    "over 7",
    "2 guess",
    "not sure",
)
TAKING = ("change 1", "change 2", "again compression", "again", "note x", "note", "change 0", "again nothing")
ALL = (*JUNK, *ANSWERS, *TAKING, *COMMAND_WORDS)


def random_line(luck: random.Random) -> str:
    if luck.random() < 0.1:
        return "".join(chr(luck.randrange(0, 0x3000)) for _ in range(luck.randrange(12)))
    return luck.choice(ALL if luck.random() < 0.6 else ANSWERS)


def assert_sound(screen_text: list[str]) -> None:
    for line in screen_text:
        assert not any(category(letter).startswith("C") for letter in line), repr(line)


@pytest.mark.parametrize("enough", [400, pytest.param(2500, marks=pytest.mark.slow)])
@pytest.mark.parametrize("complaint", ["will-not-start", "no-power", "dies-hot", "smokes"])
def test_no_line_breaks_a_walk(yard: Library, complaint: str, enough: int) -> None:
    luck = random.Random(complaint)
    lines = 0
    while lines < enough:
        machine = yard.machines[MachineId(luck.choice(["moped", "step-through"]))]
        if not machine.fits(yard.complaints[EventId(complaint)].gate.only_if):
            continue
        dialogue = Dialogue(begin(yard, machine, [EventId(complaint)]))
        for _ in range(120):
            before = dialogue
            dialogue = handle_input(dialogue, random_line(luck))
            lines += 1
            screen = dialogue.screen()
            width = luck.choice([16, 40, 80, 140])
            shown = [*laid_out(screen, width, dialogue.message), *keys_line(screen, width)]
            assert_sound([line.text for line in (*shown, *aside_lines(screen.aside))])
            assert screen.lead
            assert screen.keys
            kept = [from_data(to_data(entry)) for entry in dialogue.session.entries]
            assert tuple(kept) == dialogue.session.entries
            if dialogue.over:
                break
            assert handle_input(dialogue, "quit").over
            assert before is not None


def test_no_line_breaks_the_setting_out(yard: Library) -> None:
    luck = random.Random("setting out")
    words = ("new", "list", "pick", "none", "rest", "back", "1 3", "1-2", "moped", "wont start", "dead")
    lines = 0
    reached: set[SetupStage] = set()
    while lines < 2500:
        wizard = SetupWizard(SetupState(yard))
        for _ in range(60):
            line = luck.choice(words) if luck.random() < 0.5 else random_line(luck)
            wizard = handle_wizard_input(wizard, line)
            lines += 1
            reached.add(wizard.now.stage)
            screen = wizard.screen()
            shown = [*laid_out(screen, 40, wizard.message), *keys_line(screen, 40)]
            assert_sound([one.text for one in shown])
            assert isinstance(wizard.words(), tuple)
            if wizard.over:
                break
            assert handle_wizard_input(wizard, "quit").over
    assert reached == set(SetupStage)


def test_every_walk_can_be_brought_to_an_end(yard: Library) -> None:
    luck = random.Random("ends")
    machine = yard.machines[MachineId("moped")]
    for complaint in ("will-not-start", "no-power", "dies-hot"):
        for _ in range(3):
            dialogue = Dialogue(begin(yard, machine, [EventId(complaint)]))
            for _ in range(150):
                phase = dialogue.task().phase
                if phase in {Phase.MENDED, Phase.GIVEN_UP}:
                    break
                answer = luck.choice(["1", "2", "no", "2 guess", "cannot", "5 bar", "9 kohm"])
                dialogue = handle_input(dialogue, "1" if phase is Phase.GIVE_UP else answer)
            assert dialogue.task().phase in {Phase.MENDED, Phase.GIVEN_UP}
