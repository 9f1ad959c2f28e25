"""The form of entries: a JSON Schema (2020-12) made of the entity of each section.

What the fields of an entity do not tell stands in `_WRITTEN`: what authors write otherwise than it is held.
The `description` of a schema says what to write and becomes the hint of a problem.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from typing import Any, get_args, get_origin

from kickover.authoring.sections import Section
from kickover.core.problem import SourcePlace
from kickover.model.authored import (
    ID_FORM,
    IN_PLACE,
    NOT_WRITTEN,
    OWN_ID,
    Chance,
    Form,
    authored_fields,
    bare,
    marks_of,
)
from kickover.model.library import (
    Band,
    Check,
    Condition,
    Figure,
    Finding,
    Gate,
    Input,
    Limit,
    Reading,
)
from kickover.units import Quantity

Schema = dict[str, Any]


def schema_of(section: Section) -> Schema:
    """The JSON Schema of the entries of a section."""
    found = _table(section.entity, own_id=section.alone)
    for key in section.without.split():
        del found["properties"][key]
    return {**found, "$defs": {"condition": _CONDITION}}


def _table(entity: Any, *, own_id: bool = False) -> Schema:
    """The schema of the mapping that is written for an entity."""
    found: Schema = {"type": "object", "properties": {}, "required": [], "additionalProperties": False}
    for field in authored_fields(entity):
        own = OWN_ID.name in (field.name, field.key)
        unwritten = field.section or field.key == NOT_WRITTEN.name or field.hint is SourcePlace
        if unwritten or (own and not own_id):
            continue
        if field.key == IN_PLACE.name:
            _join(found, _table(bare(field.hint)))
        else:
            _join(found, {"properties": {field.key: _schema(field.hint)}})
            found["required"] += [field.key] if field.required else []
    return _join(found, _WRITTEN.get(entity, {}))


def _join(found: Schema, more: Schema) -> Schema:
    found["properties"] |= more.get("properties", {})
    found["required"] += more.get("required", ())
    found |= {key: rule for key, rule in more.items() if key not in found}
    return found


def _schema(hint: Any) -> Schema:
    """The schema of a value of a type, with what is marked on it."""
    found: Schema | None = None
    for form in (mark for mark in marks_of(hint) if isinstance(mark, Form)):
        found = {**({} if form.alone else found or _of_type(bare(hint))), **form.keywords}
    return found or _of_type(bare(hint))


def _of_type(hint: Any) -> Schema:
    made_of, parts = get_origin(hint), get_args(hint)
    if made_of in (tuple, frozenset):
        said = _LIST_OF_IDS if _is_id(parts[0]) else _LIST_OF_TEXTS if parts[0] is str else {}
        return {"type": "array", "items": _schema(parts[0]), **said}
    if made_of is Mapping:
        key, each = parts[0], _schema(parts[1])
        if isinstance(key, type) and issubclass(key, Enum):
            named = {str(word.value): each for word in key}
            return {"type": "object", "properties": named, "additionalProperties": False}
        return {"type": "object", "propertyNames": ID_FORM.keywords, "additionalProperties": each}
    if _is_id(hint):
        return ID_FORM.keywords
    if isinstance(hint, type) and issubclass(hint, Enum):
        return _choice(*(str(word.value) for word in hint))
    return _OF_TYPE.get(hint) or _table(hint)


def _is_id(hint: Any) -> bool:
    return hasattr(bare(hint), "__supertype__")


def _choice(*words: str) -> Schema:
    said = ", ".join(f"`{word}`" for word in words[:-1])
    return {"enum": list(words), "description": f"{said} or `{words[-1]}`"}


def _refused(**says: str) -> Schema:
    return {key: {"not": {}, "description": hint} for key, hint in says.items()}


def _only_beside(other: str, *keys: str) -> Schema:
    return _refused(**{key: f"write `{key}:` only beside `{other}`" for key in keys})


_PATTERN = ID_FORM.keywords["pattern"]
_LIST_OF_IDS = {"uniqueItems": True, "description": "a list of ids, such as `[plug-out, bowl-off]`"}
_LIST_OF_TEXTS = {"description": "a list of texts, each on its own line behind a dash"}
_CONDITIONS = {
    "type": "array",
    "items": {"$ref": "#/$defs/condition"},
    "minItems": 1,
    "description": "a list of conditions",
}
_CONDITION = {
    "type": ["string", "object"],
    "pattern": _PATTERN,
    "minProperties": 1,
    "maxProperties": 1,
    "properties": {"all": _CONDITIONS, "any": _CONDITIONS, "not": {"$ref": "#/$defs/condition"}},
    "additionalProperties": False,
    "description": "a name, `{all: [...]}`, `{any: [...]}` or `{not: ...}`",
}
_QUANTITY = {
    "type": ["string", "number"],
    "minLength": 1,
    "maxLength": 80,
    "description": "a number with its unit, such as `0.35 mm`",
}
_LIMIT = {
    "type": ["string", "number", "object"],
    "minLength": 1,
    "maxLength": 80,
    "properties": {
        "figure": ID_FORM.keywords,
        "formula": ID_FORM.keywords,
        "with": {
            "type": "object",
            "propertyNames": {
                "pattern": "^[a-z][a-z0-9_]*([-_][a-z0-9]+)*$",
                "description": "the formula's own parameter names",
            },
            "additionalProperties": _QUANTITY,
            "description": "each parameter of the formula with a figure or a quantity",
        },
        "times": {"type": "number", "description": "a number"},
        "plus": _QUANTITY,
    },
    "additionalProperties": False,
    "if": {"required": ["formula"]},
    "then": {"required": ["with"], "properties": _refused(figure="write either `figure:` or `formula:`")},
    "else": {"required": ["figure"], "properties": _only_beside("formula:", "with")},
    "description": "a quantity such as `0.35 mm`, `{figure: NAME}` or `{formula: NAME, with: {...}}`",
}
_OF_TYPE: dict[Any, Schema] = {
    bool: {"type": "boolean", "description": "`true` or `false`"},
    int: {"type": "integer"},
    float: {"type": "number"},
    str: {
        "type": "string",
        "minLength": 1,
        "maxLength": 2000,
        "pattern": "\\S",
        "description": "a text, in quotation marks if it looks like a number",
    },
    Condition: _CONDITION,
    Quantity: _QUANTITY,
    Limit: _LIMIT,
}
_OF_TYPE[Input] = {
    "type": ["string", "object"],
    "pattern": _PATTERN,
    "properties": {"event": ID_FORM.keywords, "chance": _schema(Chance)},
    "required": ["event"],
    "additionalProperties": False,
    "description": "an event, or `{event: NAME, chance: 0.3}`",
}
_WRITTEN: dict[Any, Schema] = {}
_FINDING = _table(Finding)
_TITLED = {
    **_FINDING,
    "type": ["string", "object"],
    "minLength": 1,
    "description": "a title, or `{title: ..., words: [...], leaves: [...], stop: ...}`",
}
_YES_OR_NO = {**_TITLED, "required": []}
_WRITTEN |= {
    Gate: {
        "properties": {
            "gate": _choice("or", "and", "at-least"),
            "k": {"type": "integer", "minimum": 1, "description": "the number of inputs that it takes"},
        },
        "required": ["gate"],
        "if": {"properties": {"gate": {"const": "at-least"}}, "required": ["gate"]},
        "then": {"required": ["k"]},
        "else": {"properties": _only_beside("gate: at-least", "k")},
    },
    Check: {
        "properties": {
            "findings": {
                "type": "object",
                "propertyNames": ID_FORM.keywords,
                "additionalProperties": _TITLED,
                "minProperties": 2,
                "maxProperties": 50,
                "description": "at least two findings, each with a title",
            },
            "observes": _CONDITION,
            "abnormal": {
                "enum": ["yes", "no"],
                "description": "`yes` or `no`: the answer that speaks for what is observed",
            },
            "false_alarm": _schema(Chance),
            "miss": _schema(Chance),
            "yes": _YES_OR_NO,
            "no": _YES_OR_NO,
        },
        "if": {"required": ["observes"]},
        "then": {
            "required": ["abnormal", "false_alarm", "miss"],
            "properties": _refused(
                **{key: f"write either `observes:` or `{key}:`" for key in ("findings", "expect", "reading")}
            ),
        },
        "else": {
            "required": ["expect"],
            "properties": _only_beside("observes:", "abnormal", "false_alarm", "miss", "yes", "no"),
            "if": {"properties": {"kind": {"const": "measure"}}, "required": ["kind", "reading"]},
            "then": {"properties": _refused(findings="delete it: the findings of a reading are its bands")},
            "else": {
                "required": ["findings"],
                "properties": _refused(reading="write `kind: measure`, or delete it"),
            },
        },
    },
    Band: {"properties": _FINDING["properties"], "required": _FINDING["required"]},
    Reading: {
        "properties": {
            "error": {
                "type": "object",
                "properties": {
                    "share": {
                        "type": "number",
                        "minimum": 0,
                        "maximum": 1,
                        "description": "a share of the reading, such as `0.05`",
                    },
                    "fixed": _QUANTITY,
                },
                "additionalProperties": False,
                "minProperties": 1,
                "description": "the instrument's standard deviation: `{share: 0.05, fixed: 0.1 bar}`",
            }
        },
        "required": ["error"],
    },
    Figure: {
        "properties": {
            "assumed": {
                "type": "array",
                "items": {
                    "type": "object",
                    "properties": {"if": _CONDITION, "value": _QUANTITY},
                    "required": ["value"],
                    "additionalProperties": False,
                },
                "description": "a list of `{if: ..., value: ...}`",
            }
        }
    },
}
