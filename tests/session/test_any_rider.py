"""Any rider: walks, is killed, resumes, copies, deletes and changes the library, in any order.

What was confirmed is there, or its loss was said; cautions and riding bans stand after every resumption.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import ExitStack
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from kickover.authoring.loading import load_or_raise
from kickover.core.ids import EventId, MachineId
from kickover.model.library import Library
from kickover.session.entries import Entry
from kickover.session.journal import Heading, Journal, delete, journals, read, reopen, start
from kickover.session.outcome import standing_stops
from kickover.session.restoring import restored
from kickover.session.session import Phase, begin, needs_of
from kickover.ui.dialogue import Dialogue, DialoguePage
from kickover.ui.input_handling import JournaledDialogue
from worlds.yard_library import write_yard

NOW = "2026-03-01T10:00:00+01:00"
LINES = st.sampled_from(
    (
        "1",
        "1",
        "1",
        "2",
        "2",
        "3",
        "skip",
        "back",
        "note it squeaks",
        "cannot",
        "other",
        "how",
        "not sure",
        "5 bar",
        "stop",
    )
)
FEWEST, MOST = 15, int(os.environ.get("KICKOVER_RUNS", "2000"))


@pytest.fixture(scope="module", autouse=True)
def _libraries(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = write_yard(tmp_path_factory.mktemp("yard"))
    rates = tmp_path_factory.mktemp("rates") / "learned.yaml"
    rates.write_text("causes:\n  chain-loose: {rate: 9}\n", encoding="utf-8")
    AnyRider.libraries = (load_or_raise(folder), load_or_raise(folder, overlays=[rates]))


class AnyRider(RuleBasedStateMachine):
    """One rider with one walk at a time; `confirmed` are the entries that the program said it keeps."""

    libraries: tuple[Library, ...] = ()
    dialogue: Dialogue
    saving: JournaledDialogue

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.library = self.libraries[0]
        self.open: ExitStack | None = None
        self.path: Path | None = None
        self.confirmed: tuple[Entry, ...] = ()
        self.told = ""

    def teardown(self) -> None:
        self.killed_if_open()
        shutil.rmtree(self.folder)

    def killed_if_open(self) -> None:
        if self.open is not None:
            self.open.close()
            self.open = None

    @precondition(lambda self: self.path is None)
    @rule(complaint=st.sampled_from(("no-power", "will-not-start", "dies-hot")))
    def sets_out(self, complaint: str) -> None:
        library = self.library
        heading = Heading("w", NOW, library.title, library.version, "moped", (complaint,), (), "", None, None)
        session = begin(library, library.machines[MachineId("moped")], [EventId(complaint)])
        self.open = ExitStack()
        journal = self.open.enter_context(start(self.folder, heading, lambda: NOW))
        self._goes_on(Dialogue(session), journal)
        self.path = journal.path

    @precondition(lambda self: self.open is not None)
    @rule(line=LINES)
    def answers(self, line: str) -> None:
        self.dialogue = self.saving.hear(self.dialogue, line)
        assert self.saving.trouble == ""
        self.confirmed = self.dialogue.session.entries

    @precondition(lambda self: self.open is not None)
    @rule(torn=st.binary(max_size=20))
    def is_killed(self, torn: bytes) -> None:
        self.killed_if_open()
        assert self.path is not None
        with self.path.open("ab") as file:
            file.write(torn.replace(b"\n", b" "))

    @precondition(lambda self: self.open is None and self.path is not None)
    @rule()
    def resumes(self) -> None:
        assert self.path is not None
        self.open = ExitStack()
        journal, record = self.open.enter_context(reopen(self.path, lambda: NOW))
        walk = restored(record, self.library)
        lost = len(self.confirmed) - len(walk.session.entries)
        assert lost == 0 or walk.notes
        if record.heading.version != self.library.version:
            assert any("library has changed" in note for note in walk.notes)
        self._goes_on(Dialogue(walk.session), journal, tuple(one.entry for one in record.entries))
        self.saving.keep(walk.session.entries)
        self.confirmed = walk.session.entries

    @precondition(lambda self: self.path is not None)
    @rule()
    def copies_the_file(self) -> None:
        assert self.path is not None
        copy = self.folder / "copy.walk"
        shutil.copyfile(self.path, copy)
        assert read(copy).entries == read(self.path).entries
        delete(copy)

    @precondition(lambda self: self.open is None and self.path is not None)
    @rule()
    def deletes_it(self) -> None:
        assert self.path is not None
        delete(self.path)
        assert journals(self.folder) == ()
        self.path, self.confirmed = None, ()

    @precondition(lambda self: self.open is None)
    @rule(which=st.integers(0, 1))
    def changes_the_library(self, which: int) -> None:
        self.library = self.libraries[which]

    @invariant()
    def what_was_confirmed_is_there(self) -> None:
        if self.path is not None:
            record = read(self.path)
            assert tuple(one.entry for one in record.entries) == self.confirmed

    @invariant()
    def cautions_and_bans_stand(self) -> None:
        if self.open is None:
            return
        session, task = self.dialogue.session, self.dialogue.task()
        if task.phase in (Phase.CHECK, Phase.REPAIR) and self.dialogue.page is DialoguePage.STEP:
            screen = self.dialogue.screen()
            for hazard in needs_of(session, task).hazards:
                known = session.library.hazards[hazard]
                in_full = any(known.caution in caution for caution in screen.cautions)
                assert in_full or known.title.lower() in screen.reminder.lower()
        again = begin(session.library, session.model.machine, session.complaints)
        for entry in session.entries:
            again = again.record(entry)
        assert standing_stops(session) == standing_stops(again)

    def _goes_on(self, dialogue: Dialogue, journal: Journal, entries: tuple[Entry, ...] = ()) -> None:
        self.dialogue, self.saving = dialogue, JournaledDialogue(journal, entries)


QUIET = (HealthCheck.too_slow, HealthCheck.filter_too_much)
TestAFewRiders = AnyRider.TestCase
TestAFewRiders.settings = settings(
    max_examples=FEWEST, stateful_step_count=12, deadline=None, suppress_health_check=QUIET
)


@pytest.mark.slow
@pytest.mark.timeout(3_000)
class TestVeryManyRiders(AnyRider.TestCase):  # type: ignore[misc,valid-type]
    """The same, two thousand times."""

    settings = settings(max_examples=MOST, stateful_step_count=12, deadline=None, suppress_health_check=QUIET)
