"""The symbols of a fault tree and how they are joined: boxes with gate marks, causes, house events, notes."""

from __future__ import annotations

from collections.abc import Sequence

from kickover.core.ids import EventId
from kickover.documents.dot_text import Block, Drawing, Words, block, cell
from kickover.documents.model_wording import chance_words, condition_words, rate_words
from kickover.documents.trees.branches import Branches, TreePage
from kickover.model.library import ALWAYS, Condition, Input, Library

_ROOM = 150.0
_NOTE_ROOM = 196.0
"""Width of the text in a box, in points."""
_SMALL = 8.0
_MARK_WIDTH = 30.0
_LEAST_HEIGHT = 26.0
_LINK_SIZE = (62.0, 20.0)
_TRIANGLE_SIZE = (30.0, 24.0)


class TreeDrawing:
    """A fault tree being drawn; events are added in any order, the legend last."""

    def __init__(self, library: Library, branches: Branches, page: TreePage, heading: Sequence[str]) -> None:
        self._library = library
        self._branches = branches
        self._page = page
        self._used: set[str] = set()
        first, *rest = heading
        title = (Words(first, 15, bold=True), *(Words(line, 9) for line in rest))
        self._drawing = Drawing(title, "LR", nodesep="0.13", ranksep="0.25", newrank="true")
        weak = any(input_.chance < 1 for event in page.events for input_ in self._inputs(event))
        self._step = "2" if weak else "1"

    @property
    def dot(self) -> str:
        """The DOT text of what has been added."""
        return self._drawing.dot

    def add_event(self, event: EventId) -> None:
        """Draw `event` by its kind, the lines to its inputs, and the checks that observe it."""
        if event in self._page.transfers:
            self._add_transfer(event)
        elif self._branches.is_gate(event):
            self._add_gate(event)
        elif event in self._library.causes:
            self._add_cause(event)
        else:
            self._add_house(event, "")
        for input_ in self._inputs(event):
            self._add_input(event, input_)
        self._add_checks(event)

    def add_implied(self, top: EventId, houses: Sequence[EventId]) -> None:
        """Draw the house events that are true whenever the complaint `top` is reported."""
        for house in houses:
            if house not in self._page.events:
                self._add_house(house, "true with this complaint")
            self._line(f"{top}:gate:e", f"{house}:w", self._step, style="dotted")

    def _inputs(self, event: EventId) -> tuple[Input, ...]:
        return () if event in self._page.transfers else self._branches.inputs.get(event, ())

    def _add_gate(self, event: EventId) -> None:
        gate = self._library.gate(event)
        assert gate is not None
        self._used.add("gate")
        label = block((Words(gate.title), *_only(self._library, gate.only_if)), _ROOM)
        self._gate_box(event, label, self._branches.mark(event))

    def _gate_box(self, name: str, label: Block, mark: str) -> None:
        high = max(_LEAST_HEIGHT, label.height + 8)
        title = cell(label, (_ROOM + 14, high), border="1", cellpadding="5")
        sign = cell(block((Words(mark, 11, bold=True),), _MARK_WIDTH), (_MARK_WIDTH, high), port="gate",
                    border="1", cellpadding="5")  # fmt: skip
        self._drawing.cells(name, title + sign)

    def _add_cause(self, event: EventId) -> None:
        cause = self._library.causes[event]
        self._used.add("cause")
        factors = " · ".join(
            f"×\u00a0{factor:g} {house.replace('-', ' ')}" for house, factor in cause.factors.items()
        )
        ride = () if cause.ride else (Words("Do not ride with this", _SMALL, bold=True),)
        words = (Words(cause.title), Words(rate_words(cause), _SMALL), Words(factors, _SMALL), *ride)
        self._cause_box(event, block((*words, *_only(self._library, cause.only_if)), _ROOM))

    def _cause_box(self, name: str, label: Block) -> None:
        size = (_ROOM + 18, max(_LEAST_HEIGHT, label.height + 10))
        self._drawing.box(name, "box", label, size, style="rounded")

    def _add_house(self, event: EventId, note: str) -> None:
        self._used.add("house")
        title = self._library.houses[event].title
        self._house_box(event, block((Words(title, 9), Words(note, 9)), _ROOM - 20))

    def _house_box(self, name: str, label: Block) -> None:
        self._drawing.shape(name, "house", label, (_ROOM + 14, label.height * 1.3 + 22))

    def _add_transfer(self, event: EventId) -> None:
        self._used.add("transfer")
        tree = next((one for one in self._library.trees.values() if event in one.tops), None)
        where = f"goes on in: {event}" + (f" (tree: {tree.id})" if tree else "")
        title = self._library.title_of(event)
        self._transfer_box(event, block((Words(title), Words(where, _SMALL)), _ROOM))

    def _transfer_box(self, name: str, label: Block) -> None:
        high = max(_LEAST_HEIGHT, label.height + 8)
        self._drawing.cells(name, cell(label, (_ROOM + 14, high), border="1", cellpadding="5", port="gate"))
        triangle = f"{name} goes on"
        self._drawing.shape(triangle, "triangle", block((), 1), _TRIANGLE_SIZE)
        self._line(f"{name}:gate:e", f"{triangle}:w", "1")

    def _add_input(self, gate: EventId, one: Input) -> None:
        if one.chance >= 1:
            self._line(f"{gate}:gate:e", f"{one.event}:w", self._step)
            return
        self._used.add("link")
        link = f"{gate} to {one.event}"
        self._drawing.shape(link, "hexagon", block((Words(chance_words(one.chance), 9),), 60), _LINK_SIZE)
        self._line(f"{gate}:gate:e", f"{link}:w", "1")
        self._line(f"{link}:e", f"{one.event}:w", "1")

    def _add_checks(self, event: EventId) -> None:
        checks = () if event in self._page.transfers else self._branches.checks.get(event, ())
        if not checks:
            return
        self._used.add("checks")
        name = f"checks of {event}"
        self._note(name, [f"{check.kind}: {check.title}" for check in checks])
        tail = f"{event}:gate:e" if self._branches.is_gate(event) else f"{event}:e"
        self._line(tail, f"{name}:w", self._step, style="dashed")

    def _note(self, name: str, lines: Sequence[str]) -> None:
        label = block([Words(f"– {line}", _SMALL) for line in lines], _NOTE_ROOM)
        size = (max(_ROOM, label.width) + 18, max(_LEAST_HEIGHT, label.height + 10))
        self._drawing.box(name, "note", label, size)

    def _line(self, tail: str, head: str, length: str, **more: str) -> None:
        self._drawing.edge(tail, head, minlen=length, arrowhead="none", **more)

    def add_legend(self) -> None:
        """Explain each symbol that was used, in a frame of its own."""
        names = [f"legend {kind}" for kind in ("gate", "cause", "house", "link", "transfer", "checks")
                 if kind in self._used]  # fmt: skip
        if not names:
            return
        if "gate" in self._used:
            text = "Event. ≥1: any input is enough. &: all inputs together. 2/3: at least two of the three"
            self._gate_box("legend gate", block((Words(text, _SMALL),), _ROOM), "≥1")
        if "cause" in self._used:
            text = "Cause, with how often it happens. ×\u00a02: twice as likely when that is so"
            self._cause_box("legend cause", block((Words(text, _SMALL),), _ROOM))
        if "house" in self._used:
            self._house_box("legend house", block((Words("Situation: known, true or false", 9),), _ROOM - 20))
        if "link" in self._used:
            text = "Weak link: passes on in so many cases"
            self._drawing.shape("legend link", "hexagon", block((Words(text, 9),), 100), (_ROOM + 14, 34))
        if "transfer" in self._used:
            self._drawing.shape("legend transfer", "triangle", block((Words("goes on elsewhere", 8),), 90),
                                (_ROOM + 14, 38))  # fmt: skip
        if "checks" in self._used:
            self._note("legend checks", ["the checks that observe the event on the dashed line"])
        self._drawing.group(names, label="Legend", fontsize="10", labeljust="l", style="dashed", margin="8")


def _only(library: Library, condition: Condition) -> tuple[Words, ...]:
    if condition == ALWAYS:
        return ()
    return (Words(f"only: {condition_words(library, condition)}", _SMALL),)
