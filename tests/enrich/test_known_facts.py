"""Facts from readings: what is said, what is absent, and what the journal adds."""

from __future__ import annotations

import pytest

from stillroom.advice.fields import load_fields
from stillroom.base.fact import Fact, Value
from stillroom.base.statement import Amount, Mention, Reading, Statement
from stillroom.enrich.known import food_fact, known_facts, published_facts
from stillroom.enrich.lots import called_dried, group_statements
from stillroom.tables.tables import tables

KILO = Amount("kg", "g", 3.0, 3000.0)


def facts(
    *items: Statement, lots: tuple[dict[str, Value], ...] = (), **kitchen: Value
) -> list[Fact]:
    return known_facts(Reading("", items), lots, kitchen, tables())


def one(found: list[Fact], kind: str) -> dict[str, Value]:
    (fact,) = [fact for fact in found if fact.kind == kind]
    return dict(fact.slots)


def test_every_field_written_is_listed_with_its_type() -> None:
    fields = load_fields()
    items = (
        Statement("have", "a", food="plum", amount=KILO, cut="halved",
                  prep=("pitted",), size="small"),
        Statement("load", "b", food="plum", temperature_c=57.0, trays=4.0, surface="mesh",
                  hours=2.0),
        Statement("look", "c", food="plum", sign=("tacky",), day=2, tray=3),
        Statement("pack", "d", food="plum", vessel="jar", vessel_ml=473.0, vessel_count=3.0,
                  seal="lid", place="shelf", dated=True),
        Statement("ask", "e", food="plum", about="storage"),
        Statement("set", "f", temperature_c=30.0, sign=("damp",), altitude_m=900.0, trays=6.0),
    )  # fmt: skip
    reading = Reading("n", items, mentions=(Mention("oven-canning", "x", 0, 1, 2, True),))
    for fact in known_facts(reading, [], {}, tables()):
        assert fields.clean(fact) == fact
    for food in tables().foods.values():
        for fact in (food_fact(food, tables()), *published_facts(food)):
            assert fields.clean(fact) == fact
            for name, value in fact.slots.items():
                known = fields.find(fact.kind, name)
                assert known is not None
                assert not known.values or value in known.values, (food.id, name, value)


def test_each_slot_becomes_a_fact_with_the_words_it_came_from() -> None:
    found = facts(
        Statement("have", "3 kg plums, pitted", food="plum", amount=KILO, prep=("pitted",))
    )
    said = next(fact for fact in found if fact.kind == "said")
    done = next(fact for fact in found if fact.kind == "done")
    assert said.words == done.words == ("3 kg plums, pitted",)
    assert said.slots["statement"] == done.slots["statement"] == "s0"
    assert said.slots["amount_g"] == 3000
    assert done.slots["prep"] == "pitted"


def test_what_was_not_said_is_a_truth_value() -> None:
    lot = one(facts(Statement("have", "plums", food="plum")), "lot")
    assert lot["cut_known"] is False
    assert lot["temperature_known"] is False
    assert "cut" not in lot
    lot = one(
        facts(Statement("load", "plums", food="plum", cut="sliced", temperature_c=50.0)), "lot"
    )
    assert lot["cut_known"] is True
    assert lot["temperature_gap_c"] == -10


@pytest.mark.parametrize(
    ("item", "stage"),
    [
        (Statement("have", "3 kg plums", food="plum"), "in-hand"),
        (Statement("have", "the dried plums", food="plum"), "stored"),
        (Statement("load", "plums on trays", food="plum"), "drying"),
        (Statement("weigh", "plums now 900 g", food="plum"), "drying"),
        (Statement("look", "plums tacky", food="plum", sign=("tacky",)), "drying"),
        (Statement("look", "day 2", food="plum", day=2, sign=("loose",)), "conditioning"),
        (Statement("look", "fog", food="plum", sign=("condensation",)), "stored"),
        (Statement("pack", "into a jar to condition", food="plum"), "conditioning"),
        (Statement("pack", "into jars", food="plum"), "stored"),
        (Statement("brine", "plums in brine", food="plum"), "refrigerated"),
        (Statement("use", "threw them out", food="plum", sign=("discarded",)), "discarded"),
        (Statement("ask", "how hot", food="plum", about="temperature"), "asked"),
    ],
)  # fmt: skip
def test_the_stage_of_a_batch_the_journal_does_not_know(item: Statement, stage: str) -> None:
    assert one(facts(item), "lot")["stage"] == stage


def test_the_journal_stage_stands_and_its_slots_give_way_to_the_note() -> None:
    view: dict[str, Value] = {
        "batch": "plum-1", "food": "plum", "stage": "conditioning", "cut": "halved",
        "fresh_g": 4000.0,
    }  # fmt: skip
    other: dict[str, Value] = {"batch": "beet-1", "food": "beet", "stage": "stored"}
    item = Statement("look", "loose", batch="plum-1", sign=("loose",), cut="sliced")
    lot = one(facts(item, lots=(view, other)), "lot")
    assert (lot["stage"], lot["food"], lot["cut"]) == ("conditioning", "plum", "sliced")
    assert lot["fresh_g"] == 4000


def test_a_look_without_a_food_belongs_to_the_batch_before_it() -> None:
    pairs = group_statements(
        (Statement("load", "plums", food="plum", batch="plum-2"), Statement("look", "tacky"))
    )
    assert [batch for _, batch in pairs] == ["plum-2", "plum-2"]


def test_the_parts_of_a_mix_are_one_batch_without_a_food() -> None:
    lot = one(
        facts(Statement("blend", "onion", food="onion"), Statement("blend", "mint", food="mint"),
              Statement("ask", "how long will it keep", about="shelf-life")),
        "lot",
    )  # fmt: skip
    assert (lot["batch"], lot["foods"], lot["food_known"], lot["asked"]) == ("mix", 2, False, True)


def test_a_pickle_is_named_by_its_one_vegetable() -> None:
    lot = one(
        facts(Statement("have", "2 kg beets", food="beet"),
              Statement("brine", "500 ml vinegar", food="vinegar")), "lot"
    )  # fmt: skip
    assert (lot["batch"], lot["food"], lot["stage"], lot["brined"]) == (
        "beet", "beet", "refrigerated", True,
    )  # fmt: skip


def test_talk_about_the_kitchen_has_no_batch_and_fills_the_kitchen() -> None:
    found = facts(Statement("set", "muggy, 30", temperature_c=30.0, sign=("damp",)), trays=6.0)
    kitchen = one(found, "kitchen")
    assert (kitchen["temperature_c"], kitchen["air"], kitchen["trays"]) == (30.0, "damp", 6.0)
    assert kitchen["altitude_known"] is False
    assert not [fact for fact in found if fact.kind == "lot"]


def test_a_question_about_the_whole_kitchen_is_about_no_batch() -> None:
    pairs = group_statements(
        (Statement("have", "plums", food="plum"), Statement("ask", "what is due", about="due"))
    )
    assert pairs[1][1] is None


def test_published_figures_carry_their_own_sources() -> None:
    found = {f.slots["of"]: f for f in published_facts(tables().foods["zucchini"])}
    assert found["temperature"].slots["temperature_c"] == 60  # MSU zucchini sheet: 140 F
    assert "msu-zucchini" in found["temperature"].sources
    assert found["pretreat"].slots["span"] == "2.5 to 3 minutes"  # the same sheet, steam
    assert found["time"].slots["span"] == "10 to 12 hours"


@pytest.mark.parametrize(
    ("text", "dried"),
    [("dried plums", True), ("the Dried mint", True), ("not dried plums", False), ("plums", False),
     ("half-dried plums", False)],
)  # fmt: skip
def test_words_that_call_a_food_dried(text: str, dried: bool) -> None:
    assert called_dried(Statement("have", text)) is dried


def test_an_unknown_food_and_an_empty_note_give_no_food() -> None:
    assert [f.kind for f in facts()] == ["kitchen"]
    found = facts(Statement("have", "3 kg moonfruit", food="moonfruit"))
    assert not [f for f in found if f.kind in ("food", "published")]
    assert one(found, "lot")["food"] == "moonfruit"
