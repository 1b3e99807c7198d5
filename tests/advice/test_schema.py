"""The published schema accepts every pack that loads, and refuses what the loader refuses."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from stillroom.advice.schema import rules_schema
from stillroom.base.paths import rules_dir

PACKS = sorted(rules_dir().rglob("*.yaml"))
VALIDATOR = Draft202012Validator(rules_schema())


class _Plain(yaml.CSafeLoader):
    """Dates and yes/no stay text, as in our own loader (and in YAML 1.2 editors)."""


_Plain.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in rows if tag.rsplit(":", 1)[1] in ("int", "float")]
    for first, rows in yaml.CSafeLoader.yaml_implicit_resolvers.items()
}
_Plain.add_implicit_resolver("tag:yaml.org,2002:bool", re.compile("^(true|false)$"), list("tf"))


def faults(text: str) -> list[str]:
    data = yaml.load(text, Loader=_Plain)  # a safe loader with fewer types
    return [f"{list(e.absolute_path)}: {e.message}" for e in VALIDATOR.iter_errors(data)]


def test_schema_is_itself_valid() -> None:
    Draft202012Validator.check_schema(rules_schema())


@pytest.mark.parametrize("path", PACKS, ids=lambda path: path.stem)
def test_every_pack_of_the_program_fits(path: Path) -> None:
    assert faults(path.read_text(encoding="utf-8")) == []


RULE: dict[str, Any] = {
    "id": "a.b", "when": [{"kind": "lot"}], "advise": {"topic": "cut"}, "say": "Cut it.",
}  # fmt: skip
HEAD: dict[str, Any] = {"pack": "x", "version": "1", "standing": "me"}


@pytest.mark.parametrize(
    "change",
    [
        {"when": [{"kind": "lott"}]},
        {"when": [{"kind": "lot", "cutt": "diced"}]},
        {"when": [{"kind": "lot", "cut": "dices"}]},
        {"when": [{"kind": "lot", "cut": {"above": 3}}]},
        {"when": [{"kind": "lot", "fresh_g": {"above": "much"}}]},
        {"when": [{"kind": "lot", "fresh_g": {}}]},
        {"advise": {"topic": "cutting"}},
        {"caution": {"severity": "stop"}},
        {"id": "A B"},
        {"priority": -1},
        {"sayy": "x"},
        {"cases": {"fires": [[{"kind": "lot", "food": True}]]}},
    ],
    ids=str,
)
def test_schema_refuses(change: dict[str, Any]) -> None:
    good = {**HEAD, "rules": [RULE]}
    assert not list(VALIDATOR.iter_errors(good))
    assert list(VALIDATOR.iter_errors({**HEAD, "rules": [{**RULE, **change}]}))
