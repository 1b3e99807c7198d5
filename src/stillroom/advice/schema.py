"""The JSON Schema of rule packs, made from the same lists that the loader checks against.

Editors complete and check packs with it. It tells the shape, the kinds, their fields and values;
what needs other rules (ids, references, sources, circles) only ``stillroom rules check`` can tell.
"""

from __future__ import annotations

from typing import Any

from stillroom.advice.fields import Field, Fields, load_fields
from stillroom.advice.pack import MAX_RULES, PACK_KEYS, RULE_ID, RULE_KEYS
from stillroom.advice.parts import ALIAS, MAX_CONSTANT, MAX_LIST, MAX_NUMBER, MAX_PATTERNS
from stillroom.advice.rule import DEFAULT_PRIORITY, OPERATORS, STATUSES
from stillroom.base.fact import SEVERITIES, TOPICS

Schema = dict[str, Any]
_REF: Schema = {
    "type": "string",
    "pattern": r"^\$[a-z][a-z0-9_]{0,39}\.[a-z][a-z0-9_]{0,39}$",
    "description": "the value of another pattern's field: $alias.field",
}
_NAME: Schema = {"type": "string", "pattern": r"^[a-z0-9]+([-._][a-z0-9]+)*$", "maxLength": 60}
_TEXT: Schema = {"type": ["string", "number"], "description": "a text"}
_TEXTS: Schema = {"anyOf": [_TEXT, {"type": "array", "items": _TEXT}]}
_ORDER = ("above", "below", "at_least", "at_most")
ABOUT = {
    "pack": "name of the pack",
    "version": "its version, 1.0.0",
    "about": "what it is for, in a sentence",
    "standing": "who stands behind it and what they rest on",
    "locale": "what it is written for: measure, altitude_m, law",
    "findings": "names of its own for finding.is, with their meanings",
    "sources": "sources of its own, with a line of text each",
    "switch_off": "ids of earlier packs' rules that are not used",
    "replace": "ids of earlier packs' rules whose place its rules of the same id take",
    "rules": "the rules",
    "id": "topic.short-claim; never reused",
    "title": "a short title",
    "status": "only live rules are used",
    "priority": "lower comes first",
    "when": "patterns; all must hold, each on a different fact",
    "unless": "patterns; none may hold",
    "derive": "facts to add",
    "advise": "the ruling that it gives",
    "caution": "the caution that it gives",
    "say": "one plain sentence; {alias.field} is the only thing in braces",
    "why": "the reason, in a plain sentence",
    "overrides": "ids of rules whose rulings on the same topic and batch give way",
    "examples": "notes on which it fires and on which it stays silent",
    "cases": "the same with bare facts, for what no note can say",
}


def _closed(properties: Schema, required: tuple[str, ...] = ()) -> Schema:
    made: Schema = {
        "type": "object", "properties": properties, "additionalProperties": False,
    }  # fmt: skip
    return made | ({"required": list(required)} if required else {})


def _some(item: Schema, most: int | None = None) -> Schema:
    """One of them, or a list."""
    return {
        "anyOf": [item, {"type": "array", "items": item} | ({"maxItems": most} if most else {})]
    }


def _constant(field: Field) -> Schema:
    if field.type == "truth":
        return {"type": "boolean"}
    if field.type == "number":
        return {"type": "number", "minimum": -MAX_NUMBER, "maximum": MAX_NUMBER}
    if field.values and (field.name != "is"):
        return {"enum": list(field.values)}
    if field.values:  # a pack may add findings of its own
        return {"anyOf": [{"enum": list(field.values)}, _NAME]}
    return {"type": ["string", "number"], "maxLength": MAX_CONSTANT}


def _value(field: Field, *, refs: bool = True) -> Schema:
    about = field.about + (f" ({field.unit})" if field.unit else "")
    made = {"anyOf": [_constant(field), _REF]} if refs else dict(_constant(field))
    return made | {"description": about}


def _condition(field: Field) -> Schema:
    value = {"anyOf": [_constant(field), _REF]}
    some = {"type": "array", "items": _constant(field), "minItems": 1, "maxItems": MAX_LIST}
    tests: Schema = {
        op: value for op in OPERATORS if op in _ORDER and field.type == "number"
    }  # fmt: skip
    tests |= {"not": {"anyOf": [_constant(field), _REF, some]}, "known": {"type": "boolean"}}
    return {
        "anyOf": [_constant(field), _REF, some, _closed(tests) | {"minProperties": 1}],
        "description": _value(field)["description"],
    }


def _per_kind(fields: Fields, make: Any, more: Schema) -> Schema:
    """One branch a kind, chosen by the kind, so that an editor says what is wrong within it."""
    branches = [
        {
            "if": {"properties": {"kind": {"const": kind}}},
            "then": _closed(
                {"kind": {"const": kind}, **more, **{n: make(f) for n, f in rows.items()}}
            ),
        }
        for kind, rows in fields.kinds.items()
    ]
    return {
        "type": "object",
        "required": ["kind"],
        "properties": {"kind": {"enum": list(fields.kinds)}},
        "allOf": branches,
    }


def _rule_parts() -> Schema:
    loose: Schema = {"type": ["string", "number", "boolean"]}
    fact, case = {"$ref": "#/$defs/fact"}, {"$ref": "#/$defs/case"}
    proofs = {"type": "array", "items": {"type": "array", "items": case}}
    pattern = {"$ref": "#/$defs/pattern"}
    return {
        "id": {"type": "string", "pattern": f"^{RULE_ID.pattern}$", "maxLength": 80},
        "title": _TEXT,
        "status": {"enum": list(STATUSES)},
        "priority": {
            "type": "integer", "minimum": 0, "maximum": 9999, "default": DEFAULT_PRIORITY,
        },
        "when": _some(pattern, MAX_PATTERNS),
        "unless": _some(pattern, MAX_PATTERNS),
        "derive": _some(fact),
        "advise": _closed(
            {"topic": {"enum": list(TOPICS)}, "value": loose, "unit": _TEXT, "batch": loose},
            ("topic",),
        ),
        "caution": _closed(
            {"severity": {"enum": list(SEVERITIES)}, "hazard": _NAME, "batch": loose},
            ("severity", "hazard"),
        ),
        "say": _TEXT,
        "why": _TEXT,
        "sources": _TEXTS,
        "overrides": _TEXTS,
        "examples": _closed({"fires": _TEXTS, "silent": _TEXTS}),
        "cases": _closed({"fires": proofs, "silent": proofs}),
    }  # fmt: skip


def _described(parts: Schema, keys: tuple[str, ...]) -> Schema:
    return {key: parts[key] | {"description": ABOUT[key]} for key in keys}


def rules_schema(fields: Fields | None = None) -> Schema:
    """The JSON Schema (draft 2020-12) of a rule pack.

    Args:
        fields: the kinds of facts; None for knowledge/fields.yaml.
    """
    fields = fields or load_fields()
    table = {"type": "object", "propertyNames": _NAME, "additionalProperties": _TEXT}
    rule = _closed(_described(_rule_parts() | {}, RULE_KEYS), ("id", "when"))
    rule["anyOf"] = [{"required": [part]} for part in ("derive", "advise", "caution")]
    head: Schema = {
        "pack": _NAME,
        "version": _TEXT,
        "about": _TEXT,
        "standing": _TEXT,
        "locale": {"type": "object"},
        "findings": table,
        "sources": table,
        "switch_off": _TEXTS,
        "replace": _TEXTS,
        "rules": {"type": "array", "items": {"$ref": "#/$defs/rule"}, "maxItems": MAX_RULES},
    }
    alias = {"as": {"type": "string", "pattern": f"^{ALIAS.pattern}$"}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A stillroom rule pack",
        **_closed(_described(head, PACK_KEYS), ("pack", "version", "standing")),
        "$defs": {
            "rule": rule,
            "pattern": _per_kind(fields, _condition, alias),
            "fact": _per_kind(fields, _value, {}),
            "case": _per_kind(fields, lambda field: _value(field, refs=False), {}),
        },
    }
