"""One case as one line of JSON, and back. What is not a case is a `CaseError` that says why."""

from __future__ import annotations

import json
from typing import Any, NoReturn

from kickover.core.ids import is_id
from kickover.learning.case import Case, CaseError, CauseSet, Confirmed, MeasuredFinding, Seen

_FIELDS = frozenset(
    {
        "id",
        "date",
        "machine",
        "complaints",
        "given",
        "causes",
        "confirmed",
        "repair",
        "seen",
        "minutes",
        "library",
    }
)
_SEEN_FIELDS = frozenset({"check", "weights", "reading", "state"})
_MOST_NUMBER = 1e300
_READING_FIELDS = frozenset({"low", "high", "unit"})


def data_of_case(case: Case) -> dict[str, Any]:
    """A case as plain data."""
    return {
        "id": case.id,
        "date": case.date,
        "machine": case.machine,
        "complaints": list(case.complaints),
        "given": list(case.given),
        "causes": [list(cause) for cause in case.causes],
        "confirmed": case.confirmed.value,
        "repair": case.repair,
        "seen": [_data_of_seen(one) for one in case.seen],
        "minutes": case.minutes,
        "library": case.library,
    }


def json_of_case(case: Case) -> str:
    """A case as one line, without a line break."""
    return json.dumps(data_of_case(case), ensure_ascii=False)


def case_of_json(line: str) -> Case:
    """Read a case from one line. Raises CaseError when it is none."""
    try:
        data = json.loads(line, object_pairs_hook=_no_key_twice, parse_constant=_no_constant)
    except (ValueError, RecursionError):
        raise CaseError("the line is no JSON; write one object a line, such as the export gives") from None
    _known(data, _FIELDS, "case")
    return Case(
        id=_text(data, "id"),
        date=_text(data, "date"),
        machine=_text(data, "machine"),
        complaints=_names(data.get("complaints", []), "complaints"),
        given=_names(data.get("given", []), "given"),
        causes=_causes(data.get("causes", [])),
        confirmed=_confirmed(_text(data, "confirmed") or Confirmed.SEEN.value),
        repair=_text(data, "repair"),
        seen=tuple(_seen(one) for one in _list(data.get("seen", []), "seen")),
        minutes=None if data.get("minutes") is None else _number(data["minutes"], "minutes"),
        library=_text(data, "library"),
    )


def _data_of_seen(seen: Seen) -> dict[str, Any]:
    data: dict[str, Any] = {"check": seen.check, "weights": dict(seen.weights)}
    if seen.measured is not None:
        data["reading"] = {
            "low": seen.measured.low,
            "high": seen.measured.high,
            "unit": seen.measured.unit,
        }
    if seen.state is not None:
        data["state"] = list(seen.state)
    return data


def _seen(data: Any) -> Seen:
    _known(data, _SEEN_FIELDS, "seen")
    weights = data.get("weights")
    if not isinstance(weights, dict) or not weights:
        raise CaseError('a check has no weights; write for example {"wet": 1.0}')
    pairs = tuple((_id(name, "weights"), _weight(value)) for name, value in weights.items())
    state = None if data.get("state") is None else _names(data["state"], "state")
    return Seen(_id(data.get("check"), "check"), pairs, _measured(data.get("reading")), state)


def _measured(data: Any) -> MeasuredFinding | None:
    if data is None:
        return None
    _known(data, _READING_FIELDS, "reading")
    return MeasuredFinding(
        _number(data.get("low"), "low"), _number(data.get("high"), "high"), _text(data, "unit")
    )


def _causes(data: Any) -> tuple[CauseSet, ...]:
    return tuple(_names(one, "causes") for one in _list(data, "causes"))


def _names(data: Any, field: str) -> tuple[str, ...]:
    return tuple(_id(one, field) for one in _list(data, field))


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


def _confirmed(text: str) -> Confirmed:
    if text not in list(Confirmed):
        raise CaseError(f"{text!r} is no confirmation; write {', '.join(Confirmed)}")
    return Confirmed(text)


def _known(data: Any, fields: frozenset[str], name: str) -> None:
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
