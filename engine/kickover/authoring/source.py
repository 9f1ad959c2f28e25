"""YAML text to plain data, with the line of every key and item, and plain data to text.

Works on the parser's events, so that nothing in a file is ever constructed or run. Keys stay text, and
of plain values only numbers, `true`, `false` and `null` become anything else. It refuses, as problems:
tags, merge keys, equal keys, aliases that loop or multiply, deep nesting, and text that is no YAML. It
never raises for what a file holds.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from kickover.authoring.files import MOST_BYTES, about, library_files, read_bytes
from kickover.authoring.located import Items, Step, Table, spoken, words_in
from kickover.core.problem import Problem, SourcePlace
from kickover.core.screening import seen, unsent

MOST_NODES = 400_000
MOST_DEPTH = 40

_INTEGER = re.compile(r"[-+]?[0-9]{1,18}")
_DECIMAL = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_WORDS = {"true": True, "false": False, "null": None, "~": None, "": None}
_UNPRINTABLE = re.compile("[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class Document:
    """One file: its name as shown to the author, its data, and what is wrong with its writing.

    `data` is None when the file could not be read as a mapping; `text` is then all that is known of it.
    `lost` are the ids in what was left out for being there twice.
    """

    file: str
    data: Table | None
    problems: tuple[Problem, ...]
    text: str = ""
    lost: frozenset[str] = frozenset()


def read_document(raw: bytes, file: str) -> Document:
    """Read one YAML file from its bytes. Never raises for what the bytes hold."""
    text = ""
    try:
        text = _decoded(raw)
        _refuse_unprintable(text)
        reader = _Reader(file, text)
        data = reader.read()
    except UnicodeDecodeError as error:
        line, message, hint = (
            raw.count(b"\n", 0, error.start) + 1,
            "this line is not UTF-8 text",
            "save the file as UTF-8",
        )
    except yaml.YAMLError as error:
        line, message, hint = explain(error)
    except _Refused as refusal:
        line, message, hint = refusal.line, refusal.message, refusal.hint
    else:
        return Document(file, data, tuple(reader.problems), text, frozenset(reader.lost))
    return Document(file, None, (Problem(SourcePlace(file, line), "", message, hint),), text)


def _decoded(raw: bytes) -> str:
    if len(raw) > MOST_BYTES:
        raise _Refused(1, f"the file has more than {MOST_BYTES} bytes", "split it into several files")
    return raw.decode("utf-8-sig")


def _refuse_unprintable(text: str) -> None:
    if odd := _UNPRINTABLE.search(text) or re.search("\t", text):
        line = text.count("\n", 0, odd.start()) + 1
        if odd[0] == "\t":
            raise _Refused(line, "there is a tab on this line", "use spaces instead")
        code = f"U+{ord(odd[0]):04X}"
        raise _Refused(line, f"there is a character that cannot be shown ({code})", "delete it")


class _Refused(Exception):  # noqa: N818 - a way out of the reader, never seen outside
    def __init__(self, line: int, message: str, hint: str) -> None:
        super().__init__(message)
        self.line, self.message, self.hint = line, message, hint


@dataclass(frozen=True, slots=True)
class _Anchored:
    """A value that an alias may stand for, with the nodes and the levels that it brings along."""

    value: object
    nodes: int
    levels: int


class _Reader:
    """Builds the data of one file from the parser's events."""

    def __init__(self, file: str, text: str) -> None:
        self.problems: list[Problem] = []
        self.lost: set[str] = set()
        self._file = file
        self._events: Iterator[yaml.Event] = yaml.parse(text, Loader=_LOADER)
        self._anchors: dict[str, _Anchored | None] = {}
        self._trail: list[Step] = []
        self._top: Table | None = None
        self._nodes = 0

    def read(self) -> Table:
        next(self._events)
        if isinstance(next(self._events), yaml.StreamEndEvent):
            raise _Refused(1, "the file is empty", "write a section such as `causes:` into it, or delete it")
        event = next(self._events)
        if not isinstance(event, yaml.MappingStartEvent):
            raise _Refused(
                _line(event), "the file is no mapping of sections", "start it with one such as `causes:`"
            )
        data, _ = self._value(event, 1)
        next(self._events)
        if not isinstance(more := next(self._events), yaml.StreamEndEvent):
            raise _Refused(
                _line(more), "a second document starts here", "write one document a file, without `---`"
            )
        assert isinstance(data, Table)
        return data

    def _value(self, event: Any, depth: int) -> tuple[object, int]:
        """Read the value that starts with `event`; give it with the number of levels that it has."""
        if isinstance(event, yaml.AliasEvent):
            return self._aliased(event, depth)
        self._count(1, depth, event)
        before = self._nodes
        if event.tag is not None:
            self._report(event, f"the tag `{event.tag[:_SHOWN]}` is not read", "delete it: values are plain")
        if event.anchor is not None:
            self._anchors[event.anchor] = None
        value: object
        if isinstance(event, yaml.ScalarEvent):
            value, levels = (_plain(event.value) if event.implicit[0] else event.value), 0
            if code := unsent(event.value):
                self._report(event, f"there is a character that cannot be shown ({code})", "delete it")
            elif event.value and not event.value.isspace() and not seen(event.value):
                self._report(event, "there is nothing to be seen in this text", "write it with letters")
        elif isinstance(event, yaml.SequenceStartEvent):
            value, levels = self._items(event, depth)
        else:
            value, levels = self._table(event, depth)
        if event.anchor is not None:
            self._anchors[event.anchor] = _Anchored(value, self._nodes - before + 1, levels)
        return value, levels

    def _items(self, start: yaml.Event, depth: int) -> tuple[Items, int]:
        items, levels = Items(_line(start)), 0
        while not isinstance(event := next(self._events), yaml.SequenceEndEvent):
            self._trail.append(len(items))
            value, below = self._value(event, depth + 1)
            self._trail.pop()
            items.append(value)
            items.lines.append(_line(event))
            levels = max(levels, below)
        return items, levels + 1

    def _table(self, start: yaml.Event, depth: int) -> tuple[Table, int]:
        table, levels = Table(_line(start)), 0
        if self._top is None:
            self._top = table
        while not isinstance(event := next(self._events), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                raise _Refused(_line(event), "this key is not a word", "write keys as plain words")
            key, line = event.value, _line(event)
            self._trail.append(key)
            value, below = self._value(next(self._events), depth + 1)
            if key == "<<":
                self._report(event, "the merge key `<<` is not read", "write the keys out")
            elif key in table:
                self.lost.update(words_in(value))
                self._report(
                    event,
                    f"`{key}` is here and on line {table.lines[key]} already",
                    "keep one of them, or give one another name",
                )
            else:
                table[key] = value
                table.lines[key] = line
            self._trail.pop()
            levels = max(levels, below)
        return table, levels + 1

    def _aliased(self, event: Any, depth: int) -> tuple[object, int]:
        name = event.anchor[:_SHOWN]
        if event.anchor not in self._anchors:
            raise _Refused(
                _line(event), f"`*{name}` has no `&{name}` before it", f"mark what is meant with `&{name}`"
            )
        anchored = self._anchors[event.anchor]
        if anchored is None:
            raise _Refused(
                _line(event), f"`*{name}` stands inside `&{name}` itself", "write out what is meant"
            )
        self._count(anchored.nodes, depth + anchored.levels, event)
        return anchored.value, anchored.levels

    def _count(self, nodes: int, depth: int, event: yaml.Event) -> None:
        self._nodes += nodes
        if self._nodes > MOST_NODES:
            raise _Refused(
                _line(event),
                f"the file comes to more than {MOST_NODES} values here",
                "split it, and repeat less by aliases",
            )
        if depth > MOST_DEPTH:
            raise _Refused(
                _line(event), f"the nesting is more than {MOST_DEPTH} levels deep here", "write it flatter"
            )

    def _report(self, event: yaml.Event, message: str, hint: str) -> None:
        self.problems.append(
            Problem(SourcePlace(self._file, _line(event)), spoken(self._top, self._trail), message, hint)
        )


def _line(event: Any) -> int:
    return int(event.start_mark.line) + 1


def _plain(text: str) -> object:
    """Give what an unquoted scalar means in YAML's core schema, cut down to decimal numbers."""
    if text.lower() in _WORDS and text in (text.lower(), text.upper(), text.capitalize()):
        return _WORDS[text.lower()]
    if _INTEGER.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text) and math.isfinite(number := float(text)):
        return number
    return text


_QUOTE = "put the text into quotation marks"
_LINE_UP = "line the keys up, or quote the text"
_UNFITTING = "the indentation does not fit, or a text needs quotation marks"
_BACKSLASH = "a backslash in double quotation marks"
_SINGLE = "use single quotation marks"
_WORDINGS = (
    ("node content", "something is missing here, or a bracket before it is not closed", "complete it"),
    ("maximum nesting", "the nesting is much too deep here", "write it flatter"),
    ("mapping values are not allowed", "a second colon on this line", _QUOTE),
    (
        "find expected ':'",
        "a line without a colon where a key is wanted",
        "write `key: value`, or indent the line",
    ),
    ("unexpected end of stream", "a quotation mark that opens here is not closed", "close it"),
    ("',' or ']'", "a list that opens here is not closed, or lacks a comma", "close it with `]`"),
    ("',' or '}'", "a mapping that opens here is not closed, or lacks a comma", "close it with `}`"),
    ("cannot start any token", "the text starts with a mark that YAML keeps for itself", _QUOTE),
    ("expected key", _UNFITTING, _LINE_UP),
    ("<block end>", _UNFITTING, _LINE_UP),
    ("'-' indicator", "the indentation does not fit the list above", "line the dashes up"),
    ("hexdecimal number", _BACKSLASH, _SINGLE),
    ("hexadecimal numbers", _BACKSLASH, _SINGLE),
    ("unknown escape character", _BACKSLASH, _SINGLE),
    ("alphabetic or numeric", "a `*` or `&` that names nothing", _QUOTE),
    ("undefined tag handle", "a `!` starts a tag, and tags are not read", _QUOTE),
    ("block sequence entries are", "a list starts on the line of its key", "start the list on the next line"),
    ("document start", "a line that belongs to no key", "indent it, or give it a key"),
)
"""Words of the parser, with what they mean and what would mend it."""


def explain(error: yaml.YAMLError) -> tuple[int, str, str]:
    """Give the line, what is wrong there, and what would mend it."""
    said = str(getattr(error, "problem", None) or error)
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line = mark.line + 1 if mark is not None else 1
    opening = getattr(error, "context_mark", None)
    for words, message, hint in _WORDINGS:
        if words in said:
            opened = opening.line + 1 if opening is not None and "opens here" in message else line
            return opened, message, hint
    return line, f"this is not YAML ({said.splitlines()[0][:80]})", "mend the writing of this line"


MOST_BYTES_IN_ALL = 60_000_000


def read_folder(folder: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read every file of a library, in the order of their names; give also what is wrong with the folder."""
    paths, problems = library_files(folder)
    documents = []
    left = MOST_BYTES_IN_ALL
    for path in paths:
        raw = read_bytes(path)
        if isinstance(raw, Problem):
            documents.append(Document(str(path), None, (raw,)))
        elif len(raw) > left:
            hint = "name a folder that holds a library only"
            problems.append(about(folder, f"the files come to more than {MOST_BYTES_IN_ALL} bytes", hint))
            break
        else:
            left -= len(raw)
            documents.append(read_document(raw, str(path)))
    if not paths and not problems:
        hint = "name a folder that holds `*.yaml` files"
        problems = [about(folder, "there is no YAML file in this folder", hint)]
    return tuple(documents), tuple(problems)


def read_overlay(path: Path) -> tuple[tuple[Document, ...], tuple[Problem, ...]]:
    """Read an overlay: a folder of files like a library, or a single file."""
    if not path.is_file():
        return read_folder(path)
    raw = read_bytes(path)
    return ((), (raw,)) if isinstance(raw, Problem) else ((read_document(raw, str(path)),), ())


def yaml_text(data: Mapping[str, object]) -> str:
    """Write plain data as YAML that `read_document` reads back as it is."""
    return yaml.dump(data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=110)


class _Dumper(yaml.SafeDumper):
    """Writes mappings and lists that know their lines too, and never an alias."""

    def ignore_aliases(self, _data: object) -> bool:
        return True


def _written_text(dumper: _Dumper, value: str) -> yaml.Node:
    """Quote what is a number or a word of YAML to this reader, and what would take several lines."""
    style = None if _plain(value) == value and value.isprintable() else '"'
    return dumper.represent_scalar("tag:yaml.org,2002:str", value, style)


_Dumper.add_representer(str, _written_text)
_Dumper.add_multi_representer(dict, yaml.SafeDumper.represent_dict)
_Dumper.add_multi_representer(list, yaml.SafeDumper.represent_list)
