"""What a printed tree says in and beside an event: its title, its rate and what that is by, its checks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kickover.core.ids import ComplaintId, EventId
from kickover.documents import text
from kickover.documents.model_wording import chance_words, condition_words, rate_words
from kickover.documents.page_layout import SIZE, Writer
from kickover.documents.trees.branches import Branches
from kickover.documents.trees.page_symbols import NOTE, Symbol
from kickover.model.library import ALWAYS, CheckKind, Library
from kickover.session.wording import lower_first

LINK_ROOM = 15.0
"""Left free before a chance, for the symbol of an inhibit gate."""
_CHECKS = 3
"""So many checks are named beside an event, the quickest first."""


@dataclass(frozen=True, slots=True)
class EventLabels:
    """The words of one library's events, on branches that are drawn."""

    library: Library
    branches: Branches

    def symbol(self, event: EventId) -> Symbol:
        """The symbol of an event by its kind."""
        if self.branches.is_gate(event):
            return Symbol.GATE
        if event in self.library.causes:
            return Symbol.UNDEVELOPED if self.library.causes[event].undeveloped else Symbol.BASIC
        return Symbol.HOUSE

    def mark(self, event: EventId) -> str:
        """What its symbol bears: a gate's mark."""
        return self.branches.mark(event) if self.branches.is_gate(event) else ""

    def inside(self, event: EventId, wide: float, chance: float = 1.0) -> Writer:
        """The lines in an event's frame, `wide` points wide; first in how many cases it passes on."""
        writer = Writer(wide, SIZE)
        if chance < 1.0:
            writer.lines(f"{chance_words(chance)} cases:", LINK_ROOM, wide - LINK_ROOM, size=NOTE)
            writer.y += 3.0
        writer.lines(self.library.title_of(event), 0.0, wide, bold=self.branches.is_gate(event))
        for line in self.small(event):
            writer.lines(line, 0.0, wide, size=NOTE)
        return writer

    def small(self, event: EventId) -> Iterator[str]:
        """Rate, what multiplies it, a ban on riding, and for which machines it is."""
        return filter(None, self._facts(event))

    def _facts(self, event: EventId) -> Iterator[str]:
        cause, gate = self.library.causes.get(event), self.library.gate(event)
        if cause is not None:
            yield rate_words(cause)
            yield "; ".join(
                f"×\u00a0{factor:g} if {lower_first(self.library.title_of(house))}"
                for house, factor in cause.factors.items()
            )
            if not cause.ride:
                yield "Do not ride with this."
        condition = cause.only_if if cause else gate.only_if if gate else ALWAYS
        if condition != ALWAYS:
            yield f"only: {condition_words(self.library, condition)}"

    def beside(self, event: EventId, wide: float) -> list[str]:
        """The quickest checks that observe an event, in lines; questions after what is looked at."""
        checks = sorted(
            self.branches.checks.get(event, ()),
            key=lambda one: (one.kind is CheckKind.QUESTION, one.needs.minutes),
        )
        if not checks:
            return []
        titles = "; ".join(one.title for one in checks[:_CHECKS])
        more = f" (and {len(checks) - _CHECKS} more)" if len(checks) > _CHECKS else ""
        return list(text.wrap(f"Check: {titles}{more}", wide, NOTE))

    def implied(self, event: EventId) -> list[str]:
        """House events that are true whenever this complaint is reported."""
        complaint = self.library.complaints.get(ComplaintId(event))
        return [self.library.title_of(house) for house in complaint.implies] if complaint else []
