"""Strangers' packs reach the C engine only after a child process survived them."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path

import pytest
from packwriting import book_of, write

from stillroom.advice import canary
from stillroom.advice.advise import run
from stillroom.advice.compile import Plan, plan
from stillroom.advice.engine import available, rehearse
from stillroom.advice.fields import load_fields
from stillroom.advice.lint import lint
from stillroom.advice.packs import load_book
from stillroom.base.fact import Fact

pytestmark = pytest.mark.skipif(not available(), reason="durable-rules is not installed")
MINE = (
    "\n  - id: my.rule\n    when: [{as: lot, kind: lot, cut: diced, thickness_mm: {above: 4}},"
    " {as: food, kind: food, food: $lot.food, juicy: {not: low}}]\n"
    "    advise: {topic: cut}\n    say: Dry {lot.food}.\n"
)
DICED = (
    Fact("lot", {"batch": "b", "food": "plum", "cut": "diced", "thickness_mm": 9.0}),
    Fact("food", {"food": "plum", "juicy": "high"}),
)


def made(folder: Path) -> Plan:
    book = book_of(folder, write(folder, "mine", MINE))
    return plan(book.layers.strata, book.fields)


def test_plain_until_passed_then_the_engine(tmp_path: Path) -> None:
    book = book_of(tmp_path, write(tmp_path, "mine", MINE))
    first = run(book, DICED)
    assert (first.engine, book.cleared) == ("plain", None)
    assert book.plan is not None
    assert canary.prove(book.plan) == ""
    second = run(book, DICED)
    assert (second.engine, book.cleared) == ("durable", True)
    assert second.firings == first.firings
    assert [f.rule for f in second.firings] == ["my.rule"]


def test_refused_pack_stays_with_the_plain_chainer(tmp_path: Path) -> None:
    book = book_of(tmp_path, write(tmp_path, "mine", MINE))
    book.plan = plan(book.layers.strata, book.fields)
    canary.keep(canary.key_of(book.plan), "it brought the engine down (signal 11)")
    outcome = run(book, DICED)
    assert outcome.engine == "plain"
    assert [f.rule for f in outcome.firings] == ["my.rule"]
    assert "signal 11" in book.problems[0].text


def test_own_packs_need_no_canary(tmp_path: Path) -> None:
    assert run(book_of(tmp_path), DICED).engine == "durable"


def test_every_rule_of_the_program_fires_in_the_canary() -> None:
    """The child's facts reach every engine rule, so it tries all of their joins."""
    book = load_book(installed=False, remember=False)
    own, fields = plan(book.layers.strata, book.fields), load_fields()
    rules = sum(len(ruleset.rules) for layer in own.layers for ruleset in layer)
    assert rehearse(own, lambda body: canary.facts_of(body, fields)) >= rules
    assert lint(own) == []


def broken(folder: Path, patterns: list[dict[str, object]]) -> Plan:
    bad = deepcopy(made(folder))
    ruleset = bad.layers[0][0]
    ruleset.rules, ruleset.needs = ruleset.rules[:1], ruleset.needs[:1]
    ruleset.body = json.dumps([patterns])
    return bad


LOT: dict[str, object] = {"kind": "lot"}


@pytest.mark.parametrize(
    ("tests", "fault"),
    [
        ([LOT, {"$nex": {"cut": 1}}], "operator $nex"),
        ([LOT, {"$mt": {"cut": "(a+)+"}}], "operator $mt"),
        ([LOT, {"sid": "q"}], "property 'sid'"),
        ([LOT, {"id": "f0"}], "property 'id'"),
        ([LOT, {"fresh_g": 1e-7}], "constant 1e-07"),
        ([LOT, {"fresh_g": None}], "constant None"),
        ([LOT, {"cut": "x" * 5_000}], "constant"),
        ([LOT, {"cut": {"other": "cut"}}], "join"),
        ([{"cut": "diced"}], "does not begin with its kind"),
    ],
)
def test_lint_refuses(tmp_path: Path, tests: list[object], fault: str) -> None:
    faults = lint(broken(tmp_path, [{"a0": {"$and": tests}}]))
    assert any(fault in found for found in faults)


def test_lint_knows_that_a_join_must_be_an_equality_and_come_last(tmp_path: Path) -> None:
    first = {"a0": {"$and": [LOT]}}
    late = {"a1": {"$and": [LOT, {"cut": {"a0": "cut"}}, {"size": "small"}]}}
    above = {"a1": {"$and": [LOT, {"$gt": {"fresh_g": {"a0": "fresh_g"}}}]}}
    assert any("after a join" in found for found in lint(broken(tmp_path, [first, late])))
    assert any("join" in found for found in lint(broken(tmp_path, [first, above])))


def test_verdict_of_a_plan_that_lint_refuses_is_kept(tmp_path: Path) -> None:
    bad = broken(tmp_path, [{"a0": {"$and": [LOT, {"sid": "q"}]}}])
    assert canary.verdict(bad) is None
    assert "sid" in canary.prove(bad)
    assert "sid" in (canary.verdict(bad) or "")


def test_child_that_hangs_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """513 constants on one property keep the engine's compiler busy for ever (field guide, 4)."""
    monkeypatch.setattr(canary, "TIME_LIMIT_S", 3)
    bad = deepcopy(made(tmp_path))
    ruleset = bad.layers[0][0]
    rules = [[{"a0": {"$and": [LOT, {"fresh_g": float(n)}]}}] for n in range(1, 700)]
    ruleset.rules = [0] * len(rules)
    ruleset.body = json.dumps(rules)
    assert any("tests of" in fault for fault in lint(bad))
    monkeypatch.setattr(canary, "lint", lambda made: [])
    assert canary.prove(bad) == "it kept the engine busy for 3 s"


def test_child_that_the_engine_refuses(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(canary, "lint", lambda made: [])
    bad = broken(tmp_path, [{"a0": {"$and": [LOT, {"$bad": {"cut": 1}}]}}])
    assert canary.prove(bad).startswith("the engine refused it: ")
