"""A shake of the jars is a look at them; one not done is none."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.statement import Context
from stillroom.reader.lexicon import COLUMNS
from stillroom.reader.read import read
from stillroom.tables.kitchen_use import kitchen_use

CONTEXT = Context(now=datetime(2026, 8, 20, 9))


@pytest.mark.parametrize(
    ("note", "food", "sign"),
    [
        ("shook the jars", None, ()),
        ("gave the jars a shake", None, ()),
        ("shook the plums, no clumps", "plum", ("loose",)),
        ("jars shaken, all loose", None, ("loose",)),
        ("gave the tomatoes a shake and a couple have stuck", "tomato", ("clumping",)),
    ],
)
def test_a_shake_is_a_look(note: str, food: str | None, sign: tuple[str, ...]) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.act, one.food, one.sign) == ("look", food, sign)


@pytest.mark.parametrize("note", ["forgot to shake the plums", "need to shake the cherries"])
def test_a_shake_not_done_is_no_look(note: str) -> None:
    assert not any(item.act == "look" for item in read(note, CONTEXT).statements)


@pytest.mark.parametrize("note", ["now what?", "so what next", "how are they doing?"])
def test_what_next_asks_what_is_due(note: str) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.act, one.about) == ("ask", "due")


@pytest.mark.parametrize(
    ("note", "act"),
    [
        ("I'd like to make fridge pickles with the beets", "brine"),
        ("thinking of drying the pears at 57 C", "load"),
        ("might vacuum seal the plums", "pack"),
    ],
)
def test_what_is_only_meant_is_marked_so(note: str, act: str) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.act, one.intended) == (act, True)


def test_food_in_hand_is_had_whatever_is_meant_with_it() -> None:
    (one,) = read("I want to dry 3 kg of plums", CONTEXT).statements
    assert (one.act, one.intended) == ("have", False)


@pytest.mark.parametrize("note", ["can I dry courgettes?", "is it worth drying courgettes",
                                  "do courgettes dry well"])  # fmt: skip
def test_whether_a_food_can_be_dried_is_a_question_of_the_plan(note: str) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.act, one.food, one.about) == ("ask", "zucchini", "plan")


STAGED = Context(
    now=datetime(2026, 8, 20, 9),
    foods=("bell pepper", "tomato"),
    batches=(("bell-pepper-1", "bell pepper", "in-hand"), ("tomato-1", "tomato", "drying")),
)


@pytest.mark.parametrize("note", ["right they're leathery", "still tacky", "482 g now"])
def test_a_pronoun_means_the_food_that_stands_where_the_sign_is_seen(note: str) -> None:
    assert [item.food for item in read(note, STAGED).statements] == ["tomato"]


def test_a_repair_keeps_its_food_and_what_follows_is_read_on() -> None:
    found = read("2 kg courgettes, sorry 3 kg and 1 kg of beets", CONTEXT).statements
    assert [(item.act, item.food, item.amount and item.amount.si) for item in found] == [
        ("have", "zucchini", 2000), ("amend", "zucchini", 3000), ("have", "beet", 1000),
    ]  # fmt: skip


def test_trays_changed_round_are_no_food_used() -> None:
    (one,) = read("just swapped the top and bottom trays round", STAGED).statements
    assert one.act == "look"


@pytest.mark.parametrize(
    ("note", "food", "about"),
    [
        ("is it dry", "tomato", "dryness"),
        ("what weight am I after", "tomato", "yield"),
        ("how long will they keep", "bell pepper", "shelf-life"),
        ("is that about right?", "tomato", "yield"),
    ],
)
def test_a_question_without_a_food_means_what_stands_where_it_points(
    note: str, food: str, about: str
) -> None:
    (one,) = read(note, STAGED).statements
    assert (one.food, one.about) == (food, about)


@pytest.mark.parametrize(
    "note",
    ["medlars: 2 kg", "quinces 3 kg peeled", "my dryer only goes to 55", "the dryer has packed in"],
)
def test_what_is_no_food_known_is_not_taken_for_the_food_before(note: str) -> None:
    assert not read(note, STAGED).statements


@pytest.mark.parametrize("note", ["rotated the trays", "turned them over"])
def test_trays_changed_round_are_a_look_at_what_dries(note: str) -> None:
    (one,) = read(note, STAGED).statements
    assert (one.act, one.food) == ("look", "tomato")


@pytest.mark.parametrize(
    "note",
    ["tomatoes are crisp, in a pint jar to condition",
     "tomatoes crisp. in a quart jar for conditioning"],
)  # fmt: skip
def test_in_a_jar_to_condition_is_packed(note: str) -> None:
    assert [item.act for item in read(note, CONTEXT).statements] == ["look", "pack"]


def test_a_broken_jar_is_thrown_away_and_an_opened_one_is_looked_at() -> None:
    (broken,) = read("dropped a jar of courgettes, glass everywhere", CONTEXT).statements
    assert (broken.act, broken.food, broken.sign) == ("use", "zucchini", ("discarded",))
    assert broken.vessel_count == 1
    (opened,) = read("opened a jar of courgettes", CONTEXT).statements
    assert (opened.act, opened.food) == ("look", "zucchini")
    assert read("dropped the temperature to 50 C", STAGED).statements[0].act == "load"


@pytest.mark.parametrize("note", ["how do I dry apples?", "tell me about apples",
                                  "best way to dry apples"])  # fmt: skip
def test_the_whole_way_is_asked_for(note: str) -> None:
    (one,) = read(note, CONTEXT).statements
    assert (one.food, one.about, one.topic) == ("apple", "plan", "overview")


def test_trays_used_after_a_load_are_those_of_the_load() -> None:
    (one,) = read("plums on the mesh at sixty, I've used seven trays", CONTEXT).statements
    assert (one.act, one.trays) == ("load", 7)
    (kitchen,) = read("we've got nine trays", CONTEXT).statements
    assert (kitchen.act, kitchen.trays) == ("set", 9)


def test_did_a_kilo_is_done_and_did_we_is_asked() -> None:
    (one,) = read("did a kilo of beetroot, sliced", CONTEXT).statements
    assert (one.act, one.food, one.cut) == ("have", "beet", "sliced")
    assert read("did I shake the plums?", CONTEXT).statements[0].act == "ask"


def test_a_flavouring_of_a_pickle_takes_no_jars() -> None:
    found = read(
        "made courgette pickles with 500 ml vinegar, added some dill. filled three jars with them",
        CONTEXT,
    ).statements
    assert [item.food for item in found] == ["zucchini", "vinegar", "zucchini"]


def test_a_mix_is_named_in_one_table_only() -> None:
    spoken = {name for recipe in kitchen_use().recipes.values() for name in recipe.spoken}
    rows = read_csv(knowledge_dir() / "words.csv", COLUMNS)
    twice = {w for row in rows if row["value"] in ("blend", "mix") for w in row["words"].split("|")}
    assert not spoken & twice
    for name in ("tomato soup base", "mint and herb tea"):
        assert name in spoken
        assert read(f"what goes in the {name}?", CONTEXT).statements[0].about == "mix"
