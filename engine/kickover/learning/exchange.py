"""Cases as text for other programs: CSV for tables, JSON Lines for everything else.

One case is one line in either form, so that a damaged line spoils no other. Reading gives back exactly what
was written. A case without an id gets one from the text of its line, so that the same file read twice adds
nothing twice.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from pathlib import Path
from typing import Any, NoReturn

from kickover.core.ids import is_id
from kickover.core.screening import cut_short
from kickover.learning.case import Case, CaseError, CauseSet, MeasuredFinding, Seen
from kickover.learning.notation import FIELDS, case_of_texts, read_confirmed, texts_of

NEEDED = ("date", "machine", "complaints", "causes")
MOST_CHARACTERS = 200_000
"""A longer line than this is no case."""


class Form(StrEnum):
    """A form in which cases are exchanged; its value is also the ending of a file's name."""

    CSV = "csv"
    JSONL = "jsonl"


@dataclass(frozen=True, slots=True)
class ExchangeRow:
    """One line of a file: its number from 1, its text, and the case in it or what is wrong with it."""

    line: int
    text: str
    case: Case | None
    trouble: str = ""


def form_of(path: Path) -> Form:
    """The form that a file's name asks for. Raises CaseError when it is neither."""
    ending = path.suffix.lower().removeprefix(".")
    if ending not in list(Form):
        raise CaseError(f"{path}: cannot tell its form; end its name in .csv or .jsonl")
    return Form(ending)


def write_lines(cases: Iterable[Case], form: Form) -> Iterator[str]:
    """The lines of a file of cases, each with its line break."""
    if form is Form.CSV:
        yield _csv_line(FIELDS)
        yield from (_csv_line(texts_of(case).values()) for case in cases)
    else:
        yield from (json_of_case(case) + "\n" for case in cases)


def read_lines(lines: Iterable[str], form: Form) -> Iterator[ExchangeRow]:
    """Read a file of cases line by line; empty lines are passed over.

    Raises CaseError when the heading of a CSV file lacks a column that is needed.
    """
    numbered = enumerate(lines, start=1)
    if form is Form.CSV:
        names = _heading(next(numbered, (1, ""))[1])
        read: Callable[[str], Case] = lambda text: _case_of_cells(names, text)  # noqa: E731
    else:
        read = case_of_json
    copies: Counter[bytes] = Counter()
    for number, line in numbered:
        text = line.rstrip("\r\n")
        if not text.strip():
            continue
        try:
            case = read(_sound(text))
        except CaseError as error:
            yield ExchangeRow(number, text, None, cut_short(str(error)))
            continue
        yield ExchangeRow(number, text, case if case.id else replace(case, id=_own_id(text, copies)))


def _sound(text: str) -> str:
    if len(text) > MOST_CHARACTERS:
        raise CaseError(f"the line has more than {MOST_CHARACTERS} characters; write one case a line")
    if any("\ud800" <= letter <= "\udfff" for letter in text):
        raise CaseError("the line is not UTF-8 text; save the file as UTF-8")
    return text


def _own_id(text: str, copies: Counter[bytes]) -> str:
    digest = hashlib.sha256(text.strip().encode()).digest()[:8]
    copies[digest] += 1
    return f"line-{digest.hex()}" + (f"-{copies[digest]}" if copies[digest] > 1 else "")


_FORMULA = ("=", "+", "-", "@", "\t", "'")
"""Beginnings of a text that spreadsheets take for a formula, and the mark that stands before one here."""


def _csv_line(cells: Iterable[str]) -> str:
    """One record on one line: line breaks are written as spaces, and no cell begins like a formula."""
    text = io.StringIO()
    flat = (" ".join(cell.splitlines()) if cell.splitlines() != [cell] else cell for cell in cells)
    csv.writer(text, lineterminator="\n").writerow(
        f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in flat
    )
    return text.getvalue()


def _parted(text: str) -> list[str]:
    try:
        return next(csv.reader([text], strict=True), [])
    except csv.Error:
        raise CaseError(
            'a quotation mark is not closed; close it, or write "" for one inside a cell'
        ) from None


def _heading(text: str) -> tuple[str, ...]:
    names = tuple(name.strip().lower() for name in _parted(text.removeprefix("\ufeff").rstrip("\r\n")))
    lacking = [name for name in NEEDED if name not in names]
    if lacking:
        raise CaseError(
            f"1: the heading lacks {', '.join(lacking)}; the columns are {', '.join(FIELDS)},"
            f" of which {', '.join(NEEDED)} are needed"
        )
    for name in names:
        if name not in FIELDS or names.count(name) > 1:
            wrong = "is there twice" if name in FIELDS else "is not known"
            raise CaseError(
                f"1: the column {cut_short(name, 60)!r} {wrong}; the columns are {', '.join(FIELDS)}"
            )
    return names


def _case_of_cells(names: tuple[str, ...], text: str) -> Case:
    cells = _parted(text)
    if len(cells) != len(names):
        raise CaseError(f"there are {len(cells)} cells where {len(names)} are wanted; put the line right")
    return case_of_texts(dict(zip(names, (_unguarded(cell.strip()) for cell in cells), strict=True)))


def _unguarded(cell: str) -> str:
    return cell[1:] if cell.startswith("'") and cell[1:].startswith(_FORMULA) else cell


_MOST_NUMBER = 1e300


def data_of_case(case: Case) -> dict[str, Any]:
    """A case as plain data."""
    data = {name: getattr(case, name) for name in FIELDS}
    return {**data, "seen": [_data_of_seen(seen) for seen in case.seen]}


def json_of_case(case: Case) -> str:
    """A case as one line, without a line break."""
    return json.dumps(data_of_case(case), ensure_ascii=False)


def case_of_json(line: str) -> Case:
    """Read a case from one line. Raises CaseError when it is none."""
    try:
        data = json.loads(line, object_pairs_hook=_no_key_twice, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise CaseError("the line is no JSON; write one object a line, such as the export gives") from None
    _known(data, FIELDS, "case")
    return Case(**{name: _READERS[name](data, name) for name in FIELDS})


def _data_of_seen(seen: Seen) -> dict[str, Any]:
    data: dict[str, Any] = {"check": seen.check, "weights": dict(seen.weights)}
    if seen.measured is not None:
        data["reading"] = asdict(seen.measured)
    if seen.state is not None:
        data["state"] = list(seen.state)
    return data


def _seen(data: Any) -> Seen:
    _known(data, ("check", "weights", "reading", "state"), "seen")
    weights = data.get("weights")
    if not isinstance(weights, dict) or not weights:
        raise CaseError('a check has no weights; write for example {"wet": 1.0}')
    pairs = tuple((_id(name, "weights"), _weight(value)) for name, value in weights.items())
    state = None if data.get("state") is None else _names(data, "state")
    return Seen(_id(data.get("check"), "check"), pairs, _measured(data.get("reading")), state)


def _measured(data: Any) -> MeasuredFinding | None:
    if data is None:
        return None
    _known(data, ("low", "high", "unit"), "reading")
    return MeasuredFinding(
        _number(data.get("low"), "low"), _number(data.get("high"), "high"), _text(data, "unit")
    )


def _ids(values: Any, field: str) -> tuple[str, ...]:
    return tuple(_id(value, field) for value in _list(values, field))


def _names(data: dict[str, Any], field: str) -> tuple[str, ...]:
    return _ids(data.get(field, []), field)


def _causes(data: dict[str, Any], field: str) -> tuple[CauseSet, ...]:
    return tuple(_ids(together, field) for together in _list(data.get(field, []), field))


def _list(data: Any, field: str) -> list[Any]:
    if not isinstance(data, list):
        raise CaseError(f"{field!r} is no list; write it in square brackets")
    return data


def _id(value: Any, field: str) -> str:
    if not isinstance(value, str) or not is_id(value):
        raise CaseError(
            f"{field!r} holds {value!r}, which is no id; write lower-case words joined by hyphens"
        )
    return value


def _text(data: dict[str, Any], field: str) -> str:
    value = data.get(field, "")
    if not isinstance(value, str):
        raise CaseError(f"{field!r} is no text; put it into quotation marks")
    return value


def _number(value: Any, field: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < _MOST_NUMBER:
        raise CaseError(f"{field!r} is no number; write for example 4.5")
    return float(value)


def _weight(value: Any) -> float:
    weight = _number(value, "weights")
    if not 0.0 <= weight <= 1.0:
        raise CaseError(f"the weight {weight:g} is not from 0 to 1; write for example 0.8")
    return weight


def _known(data: Any, fields: Iterable[str], name: str) -> None:
    if not isinstance(data, dict):
        raise CaseError(f"{name!r} is no object; write it in braces, such as the export gives")
    for key in data:
        if key not in fields:
            raise CaseError(f"{name!r} has no field {key!r}; its fields are {', '.join(sorted(fields))}")


def _no_key_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    data = dict(pairs)
    if len(data) < len(pairs):
        twice = next(key for key, _ in pairs if [name for name, _ in pairs].count(key) > 1)
        raise CaseError(f"{twice!r} is there twice; keep one")
    return data


def _no_constant(word: str) -> NoReturn:
    raise CaseError(f"{word} is no number; leave it out")


_READERS: Mapping[str, Callable[[dict[str, Any], str], Any]] = {
    **dict.fromkeys(FIELDS, _text),
    "complaints": _names,
    "given": _names,
    "causes": _causes,
    "confirmed": lambda data, field: read_confirmed(_text(data, field)),
    "seen": lambda data, field: tuple(_seen(seen) for seen in _list(data.get(field, []), field)),
    "minutes": lambda data, field: None if data.get(field) is None else _number(data[field], field),
}
"""How each part of a case is read from JSON."""
