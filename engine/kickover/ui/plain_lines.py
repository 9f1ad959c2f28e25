"""The walk as plain lines: no colour, no cursor movement, for screen readers, pipes and slow links."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TextIO, TypeVar

from kickover.ui.layout import keys_line, laid_out
from kickover.ui.screen import Screen

PLAIN_WIDTH = 72


class Conversation(Protocol):
    """Something that shows a screen and hears a line: setting out, or the walk itself."""

    @property
    def over(self) -> bool:
        """True when there is nothing more to ask."""

    @property
    def message(self) -> str:
        """The reply to the last line."""

    def screen(self) -> Screen:
        """What to show."""

    def words(self) -> tuple[str, ...]:
        """What can be typed now, for completion."""


C = TypeVar("C", bound=Conversation)


class PlainFront:
    """Prints screens to a stream and reads lines from another; Ctrl-C is the end of input."""

    def __init__(self, source: TextIO, sink: TextIO, width: int = PLAIN_WIDTH) -> None:
        self._source = source
        self._sink = sink
        self._width = width

    def converse(self, start: C, hear: Callable[[C, str], C]) -> tuple[C, bool]:
        """Go on until the conversation is over; False when the input ended before that."""
        now = start
        try:
            while not now.over:
                self._show(now)
                line = self._source.readline()
                if not line:
                    break
                now = hear(now, line.rstrip("\n"))
        except KeyboardInterrupt:
            pass
        if not now.over:
            self._sink.write("\n")
        return now, now.over

    def say(self, text: str) -> None:
        """Print one remark."""
        self._sink.write(f"{text}\n")
        self._sink.flush()

    def _show(self, conversation: Conversation) -> None:
        screen = conversation.screen()
        lines = [*laid_out(screen, self._width, conversation.message), *keys_line(screen, self._width)]
        self._sink.write("\n")
        for line in lines:
            self._sink.write(f"{line.text}\n")
        self._sink.write(f"{screen.prompt}: ")
        self._sink.flush()
