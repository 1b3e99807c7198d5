"""Every hazard of the register, on notes other than the rules' own examples, end to end.

``hazards_cases.csv`` holds our own notes, typed and as spoken. ``expect`` is the id of the hazard
that must be raised, ``stop`` for a request that must be stopped whatever the hazard is called
(canning and shelf-stable jars), or ``no-stop`` for an ordinary note or a safe look-alike.
The hazards, their severity and their sources are those of knowledge/hazards.csv.
"""

from __future__ import annotations

from collections import Counter
from functools import cache
from pathlib import Path

import pytest
from note_facts import facts_of

from stillroom.advice.advise import advise
from stillroom.advice.book import RuleBook
from stillroom.base.fact import Caution, Fact
from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem

CASES = read_csv(Path(__file__).parent / "hazards_cases.csv", ("expect", "note"))
REGISTER = {row["id"]: row for row in read_csv(knowledge_dir() / "hazards.csv")}
KINDS = ("stop", "no-stop")


@cache
def facts_once(note: str) -> tuple[Fact, ...]:
    return tuple(facts_of(note))


def cautions(note: str, book: RuleBook) -> tuple[Caution, ...]:
    return advise(facts_once(note), book, engine="plain").cautions


def test_every_hazard_has_a_rule_of_its_severity_and_sources(book: RuleBook) -> None:
    raised = {rule.caution.hazard: rule for rule in book.rules if rule.caution}
    assert set(REGISTER) <= set(raised)
    for name, row in REGISTER.items():
        warning = raised[name].caution
        assert warning is not None
        assert warning.severity == row["severity"], name
        named = [row["source"], *filter(None, row["also_source"].split(";"))]
        assert list(raised[name].sources) == named, name


def test_every_source_of_the_register_is_known() -> None:
    known = {row["id"] for row in read_csv(knowledge_dir() / "sources.csv")}
    for row in REGISTER.values():
        assert {row["source"], *filter(None, row["also_source"].split(";"))} <= known, row["id"]


def test_the_rules_hold_on_their_own_examples(built_in_faults: list[Problem]) -> None:
    found = [p for p in built_in_faults if "/hazards-" in p.file]
    assert [str(problem) for problem in found] == []


def test_every_hazard_has_three_notes_beyond_its_examples() -> None:
    count = Counter(row["expect"] for row in CASES)
    assert [name for name in REGISTER if count[name] < 3] == []
    assert count["no-stop"] >= 60
    assert count["stop"] >= 30


@pytest.mark.parametrize(
    "row", [r for r in CASES if r["expect"] not in KINDS], ids=lambda r: r["note"]
)
def test_the_hazard_is_raised(row: dict[str, str], book: RuleBook) -> None:
    raised = {item.hazard: item.severity for item in cautions(row["note"], book)}
    assert raised.get(row["expect"]) == REGISTER[row["expect"]]["severity"]


@pytest.mark.parametrize(
    "row", [r for r in CASES if r["expect"] == "no-stop"], ids=lambda r: r["note"]
)
def test_an_ordinary_note_is_not_stopped(row: dict[str, str], book: RuleBook) -> None:
    assert [item.hazard for item in cautions(row["note"], book) if item.severity == "stop"] == []


@pytest.mark.parametrize(
    "row", [r for r in CASES if r["expect"] == "stop"], ids=lambda r: r["note"]
)
def test_a_canning_request_is_stopped_and_sent_to_a_tested_process(
    row: dict[str, str], book: RuleBook
) -> None:
    stops = [item for item in cautions(row["note"], book) if item.severity == "stop"]
    assert stops
    assert any("tested" in item.text for item in stops)
