"""Mixes told in a conversation: what is made leaves the stock, what is only asked does not."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from stillroom.base.statement import Context
from stillroom.reader.read import read
from stillroom.tables.kitchen_use import kitchen_use
from stillroom.tables.recipe_names import find_recipe
from stillroom.talk.session import Session
from stillroom.talk.wording import answer_lines

NOW = datetime(2026, 9, 1, 9)
STOCK = (
    "packed 60 g onion powder in a jar",
    "packed 80 g dried courgettes in a pint jar",
    "dried parsley 20 g, in a jar",
    "packed 15 g dried dill in a jar",
    "packed 30 g garlic powder in a jar",
    "packed 20 g dried celery in a jar",
)
LOT = {"zucchini": 10, "onion": 7, "parsley": 2, "dill": 1.5, "garlic": 2}
"""One lot of the herb dip mix, g (knowledge/mix_recipes.yaml), salt and mint apart."""


@pytest.fixture
def home(tmp_path: Path) -> Session:
    session = Session(tmp_path, clock=lambda: NOW)
    for note in STOCK:
        session.reply(note)
    return session


def left(session: Session) -> dict[str, float]:
    lines = session.journal.view(NOW)["stock"]
    return {line["batch"]: line["remaining_g"] for line in lines}


def mixes(session: Session) -> list[dict[str, Any]]:
    return [line for line in session.journal.view(NOW)["stock"] if line["form"] == "mix"]


def dates(session: Session, *foods: str) -> list[str]:
    lines = session.journal.view(NOW)["stock"]
    return [line["best_by"] for line in lines if line["food"] in foods]


def screen(session: Session, note: str) -> str:
    return "\n".join(line.text for line in answer_lines(session.reply(note), session.titles))


def test_what_is_made_leaves_the_stock_and_the_mix_becomes_stock(home: Session) -> None:
    before, ends = left(home), dates(home, *LOT)
    said = screen(home, "make four lots of the herb dip mix")
    after = left(home)
    for food, grams in LOT.items():
        assert after[f"{food}-1"] == pytest.approx(before[f"{food}-1"] - 4 * grams)
    [mix] = mixes(home)
    # 4 x (10 + 7 + 2 + 1.5 + 2) from stock and 4 x 4 g of salt; no mint is there, so none goes in.
    assert mix["remaining_g"] == pytest.approx(4 * 26.5)
    assert mix["best_by"] == min(ends)
    assert "Taken from stock: 40 g of zucchini-1" in said


def test_taking_it_back_puts_everything_back(home: Session) -> None:
    before = left(home)
    home.reply("made four lots of the herb dip mix")
    assert left(home) != before
    home.reply("scratch that")
    assert left(home) == before


@pytest.mark.parametrize(
    "note",
    [
        "can I make four lots of the herb dip mix?",
        "could I make the herb dip mix",
        "how much do I need for four lots of herb dip mix",
        "what if I made four lots of the herb dip mix",
        "if I made four lots of herb dip mix would I have enough onion?",
        "I want to make four lots of the herb dip mix tomorrow",
        "we should make the herb dip mix",
        "don't make the herb dip mix yet",
        "enough herb dip mix for 12 servings",
        "herb dip mix for twelve people",
        "scale the herb dip mix to the 80 g of dried courgettes I have",
        "I want four lots of herb dip mix",
        "make forty lots of the herb dip mix",
    ],
)
def test_what_is_only_asked_wished_or_short_keeps_nothing(home: Session, note: str) -> None:
    before = left(home)
    home.reply(note)
    assert left(home) == before


def test_asking_for_more_than_there_is_says_what_is_short(home: Session) -> None:
    answer = home.reply("make 12 lots of the herb dip mix")
    first = answer.replies[0].text
    # 12 lots want 120 g of courgettes and 84 g of onions.
    assert "courgettes: 120 g wanted, 80 g there" in first
    assert "onions: 84 g wanted, 60 g there" in first
    assert "parsley: 24 g wanted, 20 g there" in first
    assert "enough for 8 lots" in first
    assert "Nothing is taken" in first


def test_what_was_made_all_the_same_takes_only_what_there_is(home: Session) -> None:
    home.reply("made 12 lots of the herb dip mix")
    after = left(home)
    assert min(after.values()) >= 0
    assert "zucchini-1" not in after  # all 80 g went in
    [mix] = mixes(home)
    assert mix["remaining_g"] == pytest.approx(12 * 26.5)


def test_allergens_and_jars_of_a_made_mix(home: Session) -> None:
    for note in ("packed 200 g tomato powder in a jar", "packed 60 g carrot powder in a jar",
                 "dried basil 10 g, in a jar"):  # fmt: skip
        home.reply(note)
    home.reply("made two lots of tomato soup base and put it in three half-pint jars")
    [mix] = mixes(home)
    assert mix["allergens"] == ["celery"]  # 2 x 3 g of it, from the 20 g there
    assert mix["count"] == 3
    assert mix["vessel_ml"] == pytest.approx(237, abs=1)
    # 45 + 8 + 8 + 1.5 + 7 + 3 g a lot; no chilli is there.
    assert mix["remaining_g"] == pytest.approx(2 * 72.5)
    from stillroom.talk.label_text import label_records

    label = next(record for record in label_records(home) if "soup base" in record.title)
    assert label.must == ("Contains CELERY",)


def test_an_own_mix_bears_the_earliest_date_and_the_allergens_of_its_parts(home: Session) -> None:
    ends = dates(home, "zucchini", "celery", "onion")
    home.reply("Soup mix: 20 g dried courgettes, 10 g dried celery, 10 g onion powder")
    [mix] = mixes(home)
    assert mix["best_by"] == min(ends)
    assert mix["allergens"] == ["celery"]


def test_optional_parts_stay_out_on_request(home: Session) -> None:
    home.reply("dried mint 20 g, in a jar")
    home.reply("make one half-pint jar of herb dip mix without mint")
    assert left(home)["mint-1"] == 20
    home.reply("scratch that")
    home.reply("make one half-pint jar of herb dip mix")
    assert left(home)["mint-1"] < 20


def test_scaling_to_the_powder_in_hand(home: Session) -> None:
    answer = home.reply("scale the tomato soup base to the 140 g of tomato powder I have")
    text = " ".join(reply.text for reply in answer.replies)
    assert "3.11 lots" in text  # 140 / 45
    assert "140 g tomato powder, 25 g onion powder" in text


@pytest.mark.parametrize(
    ("note", "act", "about"),
    [
        ("make four lots of the herb dip mix", "ask", "mix"),
        ("made two lots of the plum and pepper rub", "blend", None),
        ("can I make four lots of the herb dip mix?", "ask", "mix"),
        ("what's in the stew starter", "ask", "mix"),
        ("how long will the herb dip mix keep", "ask", "shelf-life"),
        ("used half of the herb dip mix", "use", None),
    ],
)
def test_mix_notes_read_as_one_statement_without_food(
    note: str, act: str, about: str | None
) -> None:
    context = Context(NOW, foods=("garlic",))
    [item] = read(note, context).statements
    assert (item.act, item.about, item.food) == (act, about, None)


def test_every_name_of_a_recipe_is_found() -> None:
    for recipe in kitchen_use().recipes.values():
        for word in recipe.words:
            found = find_recipe(f"make two lots of the {word} mix")
            assert found is not None, word
            assert found.recipe.id == recipe.id, word
    assert find_recipe("3 lb tomatoes, sliced") is None


def test_a_dish_or_a_mix_of_the_cook_s_own_takes_nothing(home: Session) -> None:
    before = left(home)
    for note in ("made tomato soup for lunch", "made a soup mix", "made gravy"):
        home.reply(note)
        after = left(home)
        assert {name: after[name] for name in before} == before, note


def test_a_recipe_spoken_of_before_is_scaled(home: Session) -> None:
    home.reply("what's in the tomato soup base")
    answer = home.reply("scale it to the 140 g of tomato powder I have")
    assert "Tomato soup base, 3.11 lots" in " ".join(reply.text for reply in answer.replies)


def test_how_much_base_a_mix_seasons_is_said_first(home: Session) -> None:
    answer = home.reply("how much sour cream do two lots of herb dip mix need")
    # Half a cup of mix to 2 or 2.5 cups (pk_cp): 470 to 590 ml a lot.
    assert "about 1.1 l of yogurt or sour cream (940 ml to 1.2 l), 16 servings" in (
        answer.replies[0].text
    )


def test_fresh_in_place_of_a_dried_part(home: Session) -> None:
    texts = " ".join(r.text for r in home.reply("make the herb dip mix with fresh onion").replies)
    # 7 g x (1 - 0.0393) / (1 - 0.8911) = 62 g (pk_sr26).
    assert "about 62 g of fresh" in texts
    assert "only when you serve it" in texts


@pytest.mark.parametrize(
    ("note", "words"),
    [
        ("used 200 g of the onion powder", "onion-1 held only 60 g: it is short of 140 g"),
        ("Soup mix: 200 g dried courgettes, 10 g dried celery",
         "zucchini-1 held only 80 g: it is short of 120 g"),
    ],
)  # fmt: skip
def test_taking_more_than_there_is_says_what_is_short(home: Session, note: str, words: str) -> None:
    assert words in " ".join(home.reply(note).kept)
    assert min(left(home).values()) >= 0
