"""Hearing with a journal beside it: every entry is on disk before the next question is shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from kickover.walk.dialogue import Dialogue
from kickover.walk.entries import Entry
from kickover.walk.hearing import heard
from kickover.walk.journal import Journal, JournalError


class Saving:
    """Hears lines and keeps their entries in a journal.

    When the disk refuses (full, pulled out), the walk goes on, says so with each step, and tries again to
    save all that is missing. Without a journal nothing is kept.
    """

    def __init__(self, journal: Journal | None, kept: Sequence[Entry], trouble: str = "") -> None:
        self._journal = journal
        self._kept = tuple(kept)
        self.trouble = trouble

    def hear(self, before: Dialogue, text: str) -> Dialogue:
        """What a typed line does, kept."""
        after = heard(before, text)
        self.keep(after.session.entries)
        if not self.trouble:
            return after
        return replace(after, message=f"{after.message} NOT SAVED: {self.trouble}.".strip())

    def keep(self, entries: Sequence[Entry]) -> None:
        """Bring the journal up to `entries`; `trouble` says why where that fails."""
        if self._journal is None:
            return
        try:
            self._journal.keep(self._kept, entries)
        except JournalError as error:
            self.trouble = str(error)
        else:
            self._kept = tuple(entries)
            self.trouble = ""

    def close(self, outcome: str) -> None:
        """Keep that the walk has ended."""
        if self._journal is None or self.trouble:
            return
        try:
            self._journal.write_closed(outcome)
        except JournalError as error:
            self.trouble = str(error)
