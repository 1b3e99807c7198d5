"""The built-in advice rules, end to end: note, reading, facts, rules."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest
from note_facts import facts_of

from stillroom.advice.advise import advise
from stillroom.advice.book import RuleBook
from stillroom.advice.packs import load_book
from stillroom.base.fact import Advice
from stillroom.base.paths import rules_dir
from stillroom.base.problem import Problem
from stillroom.base.statement import Reading, Statement
from stillroom.enrich.known import known_facts
from stillroom.tables.tables import tables

TOPIC_PACKS = (
    "topics", "prep", "cut", "juice", "pretreat", "temperature", "time", "surface", "loading",
    "dryness", "conditioning", "packaging", "label", "storage", "shelf-life", "rehydrate",
    "powder", "mix", "serve", "brine", "jar", "plan", "stock",
)  # fmt: skip


def answer(note: str, book: RuleBook) -> Advice:
    return advise(facts_of(note), book, measure="metric")


def test_every_rule_fires_and_stays_silent_on_its_examples(
    built_in_faults: list[Problem],
) -> None:
    mine = {f"{name}.yaml" for name in TOPIC_PACKS}
    found = [p for p in built_in_faults if p.file.rsplit("/", 1)[-1] in mine]
    assert [str(problem) for problem in found] == []


def test_there_are_at_least_170_advice_rules(book: RuleBook) -> None:
    assert sum(rule.pack in TOPIC_PACKS for rule in book.rules) >= 170


# about of a question -> topic of the ruling that answers it (others are numbers or the journal)
ANSWERS = {
    "dryness": "dryness", "temperature": "temperature", "time": "time", "surface": "surface",
    "prep": "prep", "pretreat": "pretreat", "loading": "loading",
    "conditioning": "conditioning", "packaging": "packaging", "storage": "storage",
    "shelf-life": "shelf-life", "rehydrate": "rehydrate", "powder": "powder", "mix": "mix",
    "brine": "brine", "jar": "jar", "plan": "plan", "label": "label",
}  # fmt: skip
FOODS = ("zucchini", "plum", "tomato", "bell pepper", "basil", "beet", "pear", "leek", "corn")


@pytest.mark.parametrize("food", FOODS)
@pytest.mark.parametrize("about", ANSWERS)
def test_a_question_about_a_food_gets_a_ruling(about: str, food: str, book: RuleBook) -> None:
    asked = Reading("", (Statement("ask", "asked", food=food, about=about),))
    given = advise(known_facts(asked, [], {}, tables()), book)
    on_topic = [r for r in given.rulings if r.topic == ANSWERS[about]]
    assert on_topic, [r.rule for r in given.rulings]
    assert {r.topic for r in given.rulings} <= {ANSWERS[about], "cut", "serve", "packaging", "plan"}


@pytest.mark.parametrize(
    ("about", "topic"),
    [("mix", "mix"), ("brine", "brine"), ("jar", "jar"), ("label", "label"), ("plan", "plan"),
     ("use-first", "stock"), ("shelf-life", "shelf-life"), ("powder", "powder"), ("due", "plan")],
)  # fmt: skip
def test_a_question_without_a_food_gets_a_ruling(about: str, topic: str, book: RuleBook) -> None:
    asked = Reading("", (Statement("ask", "asked", about=about),))
    given = advise(known_facts(asked, [], {}, tables()), book)
    assert topic in {r.topic for r in given.rulings}


@pytest.mark.parametrize("food", ["vinegar", "sugar", "salt", "basil", "leek"])
def test_a_substitute_is_named(food: str, book: RuleBook) -> None:
    asked = Reading("", (Statement("ask", "asked", food=food, about="substitute"),))
    assert advise(known_facts(asked, [], {}, tables()), book).rulings


NOTES = (
    "6 kg courgettes, shredded, drained a bit. The kitchen is at 30 C and humid",
    "Plums, halved and pitted, 4 kg, on 6 mesh trays at 57 C",
    "5 kg tomatoes, sliced 7 mm. The kitchen is dry",
    "2 kg peppers, diced, and 1 kg onions, sliced 5 mm",
    "200 g basil leaves on 2 mesh trays at 40 C",
    "2 kg beets, cooked, peeled, sliced 3 mm",
    "Day 3 of conditioning the plums, all loose",
    "Packed the dried peppers into 3 pint jars, vacuum sealed",
    "Fridge pickles: 1 kg beets, 500 ml vinegar, 500 ml water",
    "Soup mix: 1 cup dried onion, 2 tbsp dried parsley, 1 tbsp salt",
    "2 kg strawberries, frozen and thawed, diced",
    "2 kg plums, pureed, on 3 solid sheets at 60 C",
    "2 kg venison, strips",
    "2 kg cucumbers, sliced 4 mm",
)


@pytest.mark.parametrize("note", NOTES)
def test_a_note_gets_one_value_for_a_topic_of_a_batch(note: str, book: RuleBook) -> None:
    values = defaultdict(set)
    rulings = answer(note, book).rulings
    for ruling in rulings:
        if ruling.value is not None:
            values[ruling.topic, ruling.batch].add(ruling.value)
    assert rulings
    assert {key: found for key, found in values.items() if len(found) > 1} == {}
    texts = [(r.batch, r.text) for r in rulings]
    assert len(texts) == len(set(texts))


@pytest.mark.parametrize(
    "cut", ["sliced", "shredded", "pureed", "whole", "diced", "leaves", "halved", None]
)
@pytest.mark.parametrize("stage", ["have", "load"])
def test_no_food_in_any_cut_gets_two_values(cut: str | None, stage: str, book: RuleBook) -> None:
    for food in tables().foods:
        item = Statement(stage, food, food=food, cut=cut)
        given = advise(known_facts(Reading("", (item,)), [], {}, tables()), book, engine="plain")
        seen: dict[str, set[object]] = defaultdict(set)
        for ruling in given.rulings:
            if ruling.value is not None:
                seen[ruling.topic].add(ruling.value)
        assert {t: v for t, v in seen.items() if len(v) > 1} == {}, food


def test_the_temperature_advised_is_the_published_one(book: RuleBook) -> None:
    for name, food in tables().foods.items():
        if food.group not in ("vegetable", "fruit", "herb", "meat", "poultry"):
            continue
        for said in (None, 45.0, 60.0, 80.0):
            item = Statement("load", name, food=name, cut="sliced", temperature_c=said)
            facts = known_facts(Reading("", (item,)), [], {}, tables())
            given = advise(facts, book, engine="plain")
            found = [r for r in given.rulings if r.topic == "temperature" and r.value is not None]
            assert [r.value for r in found] == [food.temperature_c], (name, said)
            assert set(food.sources_for("temperature_c")) <= set(found[0].sources)


def value(note: str, topic: str, book: RuleBook) -> object:
    return next(
        (r.value for r in answer(note, book).rulings if r.topic == topic and r.value is not None),
        None,
    )


@pytest.mark.parametrize(
    ("note", "topic", "expected"),
    [
        ("3 kg courgettes, shredded", "surface", "solid-sheet"),
        ("3 kg courgettes, sliced 5 mm", "surface", "mesh"),
        ("2 kg peppers, diced", "surface", "fine-mesh"),
        ("200 g basil leaves", "surface", "fine-mesh"),
        ("2 kg plums, pureed", "surface", "solid-sheet"),
        ("5 kg tomatoes, sliced 7 mm", "conditioning", 7),
        ("3 kg courgettes, sliced 5 mm", "conditioning", 5),
        ("3 kg plums, halved and pitted", "conditioning", 7),
        ("3 kg plums, halved and pitted", "dryness", "leathery"),
        ("3 kg courgettes, sliced 5 mm", "dryness", "brittle"),
        ("200 g basil leaves", "dryness", "crumbly"),
        ("3 kg plums, whole", "pretreat", "crack-skin"),
        ("3 kg plums, halved and pitted", "pretreat", "none"),
        ("2 kg onions, sliced 5 mm", "pretreat", "none"),
    ],
)
def test_findings_chain_to_the_right_value(
    note: str, topic: str, expected: object, book: RuleBook
) -> None:
    assert value(note, topic, book) == expected


def test_switching_a_file_off_changes_the_answer(book: RuleBook, tmp_path) -> None:  # type: ignore[no-untyped-def]
    for file in rules_dir().glob("*.yaml"):
        if file.name != "surface.yaml":
            (tmp_path / file.name).write_text(file.read_text(encoding="utf-8"), encoding="utf-8")
    less = load_book(built_in=tmp_path, installed=False)
    note = "3 kg courgettes, shredded"
    assert value(note, "surface", book) == "solid-sheet"
    assert not [r for r in answer(note, less).rulings if r.topic == "surface"]
    assert value(note, "temperature", less) == 60


def test_mould_ends_all_talk_of_conditioning(book: RuleBook) -> None:
    given = answer("Day 4 of conditioning the plums: mould on two pieces", book)
    assert [r.rule for r in given.rulings if r.topic == "conditioning"] == [
        "conditioning.mould-out"
    ]


def test_humid_air_leads_to_the_long_end_of_the_hours(book: RuleBook) -> None:
    rules = {r.rule for r in answer("3 kg courgettes, sliced 5 mm. It is humid here", book).rulings}
    assert "time.published" in rules or "time.long-end" in rules
    damp = {
        r.rule for r in answer("3 kg courgettes, sliced 5 mm. The kitchen is humid", book).rulings
    }
    assert "time.long-end" in damp
    assert "time.published" not in damp


def test_the_advice_for_one_batch_is_not_a_wall_of_text(book: RuleBook) -> None:
    for note in NOTES:
        topics: dict[tuple[str, str | None], int] = defaultdict(int)
        for ruling in answer(note, book).rulings:
            topics[ruling.topic, ruling.batch] += 1
            assert len(ruling.text) <= 230, ruling.rule
        assert max(topics.values()) <= 5, (note, topics)


def test_spoiled_food_gets_no_advice_on_keeping_it(book: RuleBook) -> None:
    given = answer("There is mould in the jar of dried plums", book)
    assert [r.rule for r in given.rulings] == ["storage.mould-found"]


def test_damp_stored_food_goes_back_to_the_dryer(book: RuleBook) -> None:
    rules = {r.rule for r in answer("Condensation in the jar of dried plums", book).rulings}
    assert {"conditioning.back-to-dryer", "storage.damp-found"} <= rules
    assert not rules & {"shelf-life.published", "storage.cool-dark-dry", "packaging.airtight-jar"}


def test_no_sentence_makes_a_verb_or_a_pronoun_agree_with_a_food_name(book: RuleBook) -> None:
    """A food's name may be one or many (kale, plums), so nothing beside it may depend on that."""
    name = r"\{\w+\.(?:plural|food)\}"
    joined = re.compile(
        rf"^{name} (?:is|are|has|have|keeps?|needs?|dr(?:y|ies)|takes?|wants?|turns?)\b"
        rf"|{name} (?:are|have|keep|need|want)\b|{name}.*\b(?:they|them|their)\b"
    )
    faults = [rule.id for rule in book.rules if joined.search(rule.say)]
    assert faults == []
