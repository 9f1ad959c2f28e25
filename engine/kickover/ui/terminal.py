"""The walk on a terminal: the question, the likely causes beside it where there is room, one line to answer.

The only module that reads keys. Everything that it shows comes from `layout`; colour only adds to the words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic

from prompt_toolkit.application import Application
from prompt_toolkit.application.current import get_app
from prompt_toolkit.buffer import Buffer
from prompt_toolkit.completion import DynamicCompleter, FuzzyWordCompleter
from prompt_toolkit.filters import Condition
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.input import Input
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.layout import Layout
from prompt_toolkit.layout.containers import (
    ConditionalContainer,
    Float,
    FloatContainer,
    HSplit,
    VSplit,
    Window,
)
from prompt_toolkit.layout.controls import BufferControl, FormattedTextControl
from prompt_toolkit.layout.menus import CompletionsMenu
from prompt_toolkit.output import ColorDepth, Output
from prompt_toolkit.styles import Style

from kickover.core.screening import screened
from kickover.session.interpreting import LONGEST, cleaned, refusal
from kickover.ui.layout import (
    ASIDE_FROM,
    ASIDE_WIDTH,
    StyledLine,
    aside_lines,
    keys_line,
    laid_out,
    message_lines,
)
from kickover.ui.plain_lines import C
from kickover.ui.screen import Screen

MOST_MESSAGE_LINES = 6
"""Of a longer reply the end is left out, so that the question stays on a small screen."""

_CHOICES = frozenset({"choice", "picked"})
_LEAST_ROOM = 5
"""Rows that are left to the question above the choices."""
_TEN = 10

STYLE = Style.from_dict(
    {
        "heading": "bold",
        "lead": "bold",
        "stop": "bold reverse",
        "caution": "bold ansired",
        "message": "italic",
        "picked": "bold reverse",
        "keys": "dim",
        "bar": "ansicyan",
        "rule": "dim",
    }
)
"""Bold, reverse and one colour of the terminal's own palette, so that dark and light grounds both serve."""


class TerminalFront:
    """Shows screens full-size and reads lines; resizes, scrolls and completes."""

    def __init__(
        self,
        source: Input | None = None,
        sink: Output | None = None,
        colour: bool = True,
        one_key: bool = True,
    ) -> None:
        """With `one_key` a digit answers without Enter, where there are less than ten choices."""
        self._input = source
        self._output = sink
        self._depth = None if colour else ColorDepth.DEPTH_1_BIT
        self._one_key = one_key

    def converse(self, start: C, hear: Callable[[C, str], C]) -> tuple[C, bool]:
        """Go on until the conversation is over; False when the person left by Ctrl-C or Ctrl-D."""
        if start.over:
            return start, True
        return _Stage(start, hear, self._depth, self._one_key).run(self._input, self._output)

    def say(self, text: str) -> None:
        """Print one remark below the screen that was left."""
        print(text)


class _Stage(Generic[C]):
    """One conversation on the screen."""

    def __init__(
        self, start: C, hear: Callable[[C, str], C], depth: ColorDepth | None, one_key: bool
    ) -> None:
        self._now = start
        self._screen: Screen = start.screen()
        self._hear = hear
        self._depth = depth
        self._one_key = one_key
        self._scroll = 0
        self._picked: int | None = None
        self._keyed = False
        self._finished = False
        self._failure: Exception | None = None
        self._buffer = Buffer(
            multiline=False,
            accept_handler=self._accept,
            completer=DynamicCompleter(lambda: FuzzyWordCompleter(list(self._now.words()))),
            complete_while_typing=False,
        )

    def run(self, source: Input | None, sink: Output | None) -> tuple[C, bool]:
        """Show the conversation until it is over or left."""
        application: Application[None] = Application(
            layout=Layout(self._container(), focused_element=self._buffer),
            key_bindings=self._keys(),
            style=STYLE,
            full_screen=True,
            mouse_support=False,
            color_depth=self._depth,
            input=source,
            output=sink,
        )
        application.run()
        if self._failure is not None:
            raise self._failure
        return self._now, self._finished

    def _container(self) -> FloatContainer:
        wide = Condition(lambda: _columns() >= ASIDE_FROM and bool(self._screen.aside))
        body = HSplit(
            [
                VSplit(
                    [
                        Window(FormattedTextControl(self._main)),
                        ConditionalContainer(
                            VSplit(
                                [
                                    Window(width=1, char="|", style="class:rule"),
                                    Window(FormattedTextControl(self._aside), width=ASIDE_WIDTH + 1),
                                ]
                            ),
                            wide,
                        ),
                    ]
                ),
                Window(FormattedTextControl(self._message), height=lambda: len(self._message_lines())),
                Window(height=1, char="-", style="class:rule"),
                Window(FormattedTextControl(self._key_words), height=lambda: len(self._key_lines())),
                VSplit(
                    [
                        Window(
                            FormattedTextControl(self._prompt),
                            width=lambda: len(self._screen.prompt) + 2,
                            height=1,
                            dont_extend_width=True,
                        ),
                        Window(BufferControl(self._buffer), height=1),
                    ]
                ),
            ]
        )
        return FloatContainer(body, [Float(CompletionsMenu(max_height=6), xcursor=True, ycursor=True)])

    def _lines(self) -> tuple[StyledLine, ...]:
        screen = self._screen
        beside = ASIDE_WIDTH + 3 if _columns() >= ASIDE_FROM and screen.aside else 0
        return laid_out(screen, _columns() - beside - 1, picked=self._picked)

    def _message_lines(self) -> tuple[StyledLine, ...]:
        """The reply to the last line, above the keys, so that it is seen however long the screen is."""
        return message_lines(self._now.message, _columns() - 1)[:MOST_MESSAGE_LINES]

    def _message(self) -> StyleAndTextTuples:
        return _styled(self._message_lines())

    def _room(self) -> int:
        below = 2 + len(self._key_lines()) + len(self._message_lines())
        return max(get_app().output.get_size().rows - below, 3)

    def _main(self) -> StyleAndTextTuples:
        moving, choices, room = self._parts()
        if len(moving) <= room:
            self._scroll = 0
            return _styled([*moving, *choices])
        self._scroll = min(self._scroll, len(moving) - room + 1)
        part = list(moving[self._scroll : self._scroll + room - 1])
        below = len(moving) - self._scroll - len(part)
        hint = "(more: Enter or PageDown)" if below > 0 else "(PageUp shows the beginning)"
        return _styled([*part, StyledLine(hint, "keys"), *choices])

    def _parts(self) -> tuple[Sequence[StyledLine], Sequence[StyledLine], int]:
        """The lines that scroll, the choices that stay in sight below them, and the rows for the former.

        Where the choices alone would fill the screen they scroll with the rest.
        """
        lines = self._lines()
        first = next((place for place, line in enumerate(lines) if line.role in _CHOICES), len(lines))
        choices = lines[first:]
        room = self._room()
        if len(lines) <= room or len(choices) > room - _LEAST_ROOM:
            return lines, (), room
        return lines[:first], choices, room - len(choices)

    def _aside(self) -> StyleAndTextTuples:
        bars = self._screen.aside
        return _styled([StyledLine(f" {line.text}", line.role) for line in aside_lines(bars)])

    def _key_lines(self) -> tuple[StyledLine, ...]:
        return keys_line(self._screen, _columns() - 1)

    def _key_words(self) -> StyleAndTextTuples:
        return _styled(self._key_lines())

    def _prompt(self) -> StyleAndTextTuples:
        return [("", f"{self._screen.prompt}: ")]

    def _more_below(self) -> bool:
        moving, _, room = self._parts()
        return len(moving) > room and self._scroll + room - 1 < len(moving)

    def _page_down(self) -> None:
        self._scroll += max(self._parts()[2] - 2, 1)

    def _accept(self, buffer: Buffer) -> bool:
        text = buffer.text
        keyed, self._keyed = self._keyed, False
        if keyed and not text.strip() and self._picked is None:
            return False  # an Enter out of habit after an answer of one key
        if not text.strip() and self._picked is not None:
            text = self._screen.choices[self._picked].key
        elif not text.strip() and self._more_below():
            self._page_down()
            return False
        self._take(text)
        return False

    def _take(self, text: str) -> None:
        """Let the conversation hear a line, and show what follows."""
        try:
            self._now = self._hear(self._now, text)
            self._screen = self._now.screen()
        except Exception as failure:  # handed on by `run`: here it would only garble the screen
            self._failure = failure
            get_app().exit()
            return
        self._scroll = 0
        self._picked = None
        if self._now.over:
            self._finished = True
            get_app().exit()

    def _move(self, by: int) -> None:
        """Mark the next choice, round and round; Enter takes it."""
        count = len(self._screen.choices)
        start = -1 if by > 0 else 0
        self._picked = ((self._picked if self._picked is not None else start) + by) % count if count else None

    def _paste(self, text: str) -> None:
        if refusal(text):
            self._take(text)
        else:
            self._buffer.insert_text(cleaned(text)[: LONGEST - len(self._buffer.text)])

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()

        @keys.add("c-c")
        @keys.add("c-d")
        @keys.add("<sigint>")
        def _leave(event: KeyPressEvent) -> None:
            event.app.exit()

        @keys.add("pagedown")
        def _down(_event: KeyPressEvent) -> None:
            if self._more_below():
                self._page_down()

        @keys.add("pageup")
        def _up(_event: KeyPressEvent) -> None:
            self._scroll = max(0, self._scroll - max(self._parts()[2] - 2, 1))

        picking = Condition(lambda: self._screen.at_once and not self._buffer.text)

        @keys.add("up", filter=picking)
        def _before(_event: KeyPressEvent) -> None:
            self._move(-1)

        @keys.add("down", filter=picking)
        def _after(_event: KeyPressEvent) -> None:
            self._move(1)

        one_key = Condition(lambda: self._one_key and len(self._screen.choices) < _TEN)

        for digit in "123456789":

            @keys.add(digit, filter=picking & one_key)
            def _digit(event: KeyPressEvent) -> None:
                self._buffer.insert_text(event.data)
                if any(choice.key == event.data for choice in self._screen.choices):
                    self._buffer.validate_and_handle()
                    self._keyed = True

        @keys.add(Keys.BracketedPaste)
        def _paste(event: KeyPressEvent) -> None:
            self._paste(event.data)

        @keys.add(Keys.Any, filter=Condition(lambda: len(self._buffer.text) >= LONGEST))
        def _full(_event: KeyPressEvent) -> None:
            """Take no more than a line can hold, however much comes."""

        return keys


def _columns() -> int:
    return get_app().output.get_size().columns


def _styled(lines: Sequence[StyledLine]) -> StyleAndTextTuples:
    return [
        part
        for line in lines
        for part in ((f"class:{line.role}" if line.role else "", screened(line.text)), ("", "\n"))
    ]
