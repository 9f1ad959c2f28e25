"""What is wrong with the form of an entry, in plain words. What an entry means is not judged here."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import islice
from typing import Any

from kickover.authoring.located import Items, Step, Table
from kickover.authoring.schema import schema_of
from kickover.authoring.sections import Entry, Section
from kickover.core.near_names import nearest

_SHOWN = 40
MOST_OF_ENTRY = 50
"""How many problems of one entry are explained."""


def check_form(entry: Entry, most: int = MOST_OF_ENTRY) -> None:
    """Report on the entry in what its form is wrong, up to `most` problems, but at least that it is."""
    validator = _validator(entry.section)
    if validator.is_valid(entry.data):
        return
    explained = (found for error in validator.iter_errors(entry.data) for found in _explain(error, entry))
    if most <= 0:
        entry.report([], f"the form of {entry.title} is wrong", "mend the other problems of this file first")
    for steps, message, hint in islice(explained, max(most, 0)):
        entry.report(steps, message, hint)


@cache
def _validator(section: Section) -> Any:
    # Imported when used: it takes longer to import than a library that was checked before takes to load.
    from jsonschema import Draft202012Validator, validators

    extended: Any = validators.extend(Draft202012Validator, {"uniqueItems": _twice})  # type: ignore[no-untyped-call]
    return extended(schema_of(section))


def _twice(_validator: object, wanted: object, found: object, _schema: object) -> Iterator[Any]:
    """Find texts that stand twice in a list; the library's own way takes forever on long mixed lists."""
    from jsonschema import ValidationError  # when used, as above

    texts = [item for item in found if isinstance(item, str)] if isinstance(found, list) else []
    if wanted and len(set(texts)) < len(texts):
        yield ValidationError("holds something twice")


def _explain(error: Any, entry: Entry) -> Iterator[tuple[list[Step], str, str]]:
    steps: list[Step] = list(error.absolute_path)
    found: Any = error.instance
    rule, wanted, schema = str(error.validator), error.validator_value, error.schema
    name = steps[-1] if steps else ""
    said = f"`{name}`" if isinstance(name, str) and name else "this item" if steps else entry.title
    if rule == "required":
        for missing in wanted:
            if missing not in found:
                yield (
                    steps,
                    f"{said} has no `{missing}:`",
                    f"add `{missing}: ...`{_what(error, entry, missing)}",
                )
    elif rule == "additionalProperties":
        known = schema.get("properties", {})
        for key in found:
            if key not in known:
                near = nearest(key, known)
                hint = f"did you mean `{near}:`?" if near else f"its keys are {', '.join(known)}"
                yield [*steps, key], f"{said} has no key `{key}`", hint
    elif "propertyNames" in error.relative_schema_path:
        yield [*steps, found], f"the name `{found[:_SHOWN]}` cannot stand here", _write(error)
    elif rule == "not":
        yield steps, f"{said} does not belong here", str(schema["description"])
    else:
        yield steps, f"{said} {_verdict(rule, found, wanted)}", _write(error)


def _verdict(rule: str, found: object, wanted: object) -> str:
    match rule:
        case "type":
            return f"is {_kind(found)}"
        case "enum" | "pattern" | "const":
            return f"cannot be {_kind(found)}"
        case "minItems" | "minProperties":
            return f"holds too few: {wanted} or more are wanted"
        case "maxProperties" | "maxItems":
            return f"holds more than {wanted}"
        case "uniqueItems":
            return f"holds {_doubled(found)} twice"
        case "minimum" | "exclusiveMinimum":
            return f"is {found}, which is too little"
        case "maximum":
            return f"is {found}, which is too much"
        case "minLength":
            return "is empty"
        case "maxLength":
            return f"is longer than {wanted} characters"
    return f"breaks the rule {rule}"


def _doubled(found: object) -> str:
    seen: set[str] = set()
    for item in found if isinstance(found, Items) else ():
        if isinstance(item, str) and item in seen:
            return _kind(item)
        seen.add(str(item))
    return "something"


def _kind(found: object) -> str:
    match found:
        case None:
            return "empty"
        case bool():
            return f"`{str(found).lower()}`"
        case int() | float():
            return f"the number {found}"
        case str():
            return f"`{found[:_SHOWN]}`"
        case Table():
            return "a mapping"
    return "a list"


def _write(error: Any) -> str:
    if error.validator == "type" and isinstance(error.instance, bool | int | float):
        wanted = error.validator_value if isinstance(error.validator_value, list) else [error.validator_value]
        if "string" in wanted:
            return "put it into quotation marks"
    if error.validator == "uniqueItems":
        return "delete one of them"
    return f"write {error.schema.get('description', 'it as the format asks')}"


def _what(error: Any, entry: Entry, key: str) -> str:
    for schema in (error.schema, _validator(entry.section).schema):
        about = schema.get("properties", {}).get(key, {}).get("description")
        if about:
            return f" ({about})"
    return ""
