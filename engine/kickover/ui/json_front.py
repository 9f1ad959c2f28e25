"""A walk for another program: every question is one line of JSON, and so is every answer.

A question is a screen in its parts, with what is asked and the causes that are likely; an answer is
`{"answer": "..."}` with what a person would type. Remarks and the end are lines too: `what` says which it is.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any, TextIO, TypeVar

from kickover.core.ids import CheckId
from kickover.session.session import Phase
from kickover.ui.dialogue import Dialogue
from kickover.ui.plain_lines import Conversation

C = TypeVar("C", bound=Conversation)
UNREADABLE = 'This is no answer; write a line such as {"answer": "1"}.'


class JsonFront:
    """Writes questions to a stream and reads answers from another, a line each."""

    def __init__(self, source: TextIO, sink: TextIO) -> None:
        self._source = source
        self._sink = sink

    def converse(self, start: C, hear: Callable[[C, str], C]) -> tuple[C, bool]:
        """Go on until the conversation is over; False when the input ended before that."""
        now, trouble = start, ""
        try:
            while not now.over:
                self._write(question(now, trouble))
                line = self._source.readline()
                if not line:
                    break
                answer = answer_in(line)
                trouble = UNREADABLE if answer is None else ""
                now = now if answer is None else hear(now, answer)
        except KeyboardInterrupt:
            pass
        return now, now.over

    def say(self, text: str) -> None:
        """One remark."""
        self._write({"what": "remark", "text": text})

    def end(self, outcome: str, walk: str) -> None:
        """How the walk stands when it is left: its outcome, empty while open, and its name if it is kept."""
        self._write({"what": "end", "outcome": outcome, "walk": walk})

    def _write(self, data: Mapping[str, Any]) -> None:
        self._sink.write(f"{json.dumps(data, ensure_ascii=False)}\n")
        self._sink.flush()


def question(conversation: Conversation, trouble: str = "") -> Mapping[str, Any]:
    """What is on the screen of a conversation, as plain data; `trouble` goes before its own message."""
    screen = asdict(conversation.screen())
    del screen["at_once"], screen["shares"]
    screen["likely"] = screen.pop("aside")
    return {
        "what": "question",
        "message": trouble or conversation.message,
        "step": _step(conversation) if isinstance(conversation, Dialogue) else None,
        **screen,
        "words": list(conversation.words()),
    }


def answer_in(line: str) -> str | None:
    """The answer that a line holds; None when it holds none."""
    try:
        data = json.loads(line)
    except (ValueError, RecursionError):
        return None
    answer = data.get("answer") if isinstance(data, dict) else None
    return answer if isinstance(answer, str) else None


def _step(dialogue: Dialogue) -> Mapping[str, Any]:
    task = dialogue.task()
    check = dialogue.session.model.checks.get(CheckId(task.id)) if task.phase is Phase.CHECK else None
    return {
        "phase": task.phase.value,
        "id": task.id,
        "minutes": task.minutes,
        "unit": check.reading.unit if check and check.reading else None,
    }
