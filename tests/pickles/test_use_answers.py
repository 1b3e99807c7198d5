"""Soaking, powders and scraps asked for in words, and canning that is never answered."""

from __future__ import annotations

import re
from datetime import datetime

import pytest
from answered import figure, first

from stillroom.enrich.kitchen_words import asks_process
from stillroom.science.powder import gab_water
from stillroom.tables.kitchen_use import kitchen_use
from stillroom.tables.tables import tables
from stillroom.talk.answer import Answer
from stillroom.talk.session import Session
from stillroom.talk.wording import answer_lines

NOW = datetime(2026, 9, 1, 9)


def told(answer: Answer) -> str:
    return "\n".join([first(answer), *(line for r in answer.replies for line in r.detail)])


# soaking


def test_a_cup_of_dried_courgettes(session: Session) -> None:
    answer = session.reply("how much water to soak a cup of dried courgettes")
    # Squash: 1.75 cups of boiling water to the cup, an hour at the least (pk_uf_reprint).
    assert figure(answer, "soak_water_volume").likely == pytest.approx(1.75 * 236.6, rel=0.01)
    assert figure(answer, "soak_time").low == 60
    assert "1.8 cups of boiling water for 60 to 90 min" in first(answer)


def test_the_stew_wants_carrots_and_there_are_dried(session: Session) -> None:
    answer = session.reply("the stew wants 400 g carrots, I have dried")
    # 400 x (1 - 0.8829) / (1 - 0.04) = 48.8 g (pk_sr26: 88.29 and 4 % of water).
    assert figure(answer, "dry_mass").likely == pytest.approx(48.8, rel=0.02)
    # 0.31 g/ml: 157 ml, and 2.25 cups of water to the cup (pk_uf_reprint): 354 ml.
    assert figure(answer, "soak_water_volume").likely == pytest.approx(354, rel=0.02)
    assert "about 49 g dried" in first(answer)
    assert session.journal.view(NOW)["batches"] == []  # a recipe's carrots are not in hand


@pytest.mark.parametrize(
    ("note", "food", "low", "high"),
    [
        # Whole vegetables and their dried weight by solids (pk_sr26): 9.3 g a cup of pepper (149 g
        # fresh), 15.6 g a cup of carrot (128 g), 7.9 g a tomato of 123 g.
        ("the recipe wants 128 g carrots, I have dried", "carrot", 12.5, 18),
        ("the soup needs 123 g tomatoes, all I have is dried", "tomato", 6.3, 9.5),
        ("the sauce calls for 149 g peppers, I have dried ones", "bell pepper", 7, 18),
    ],
)
def test_published_dried_equals_lie_in_the_range(
    session: Session, note: str, food: str, low: float, high: float
) -> None:
    found = figure(session.reply(note), "dry_mass")
    assert low <= found.likely <= high


def test_dried_in_hand_and_its_fresh_equal(session: Session) -> None:
    answer = session.reply("I have 60 g dried carrots, how much fresh is that")
    # 1 g of dried carrot stands for 8.2 g fresh (pk_sr26): 492 g.
    assert figure(answer, "fresh_mass").likely == pytest.approx(492, rel=0.02)
    assert "490 g fresh" in first(answer)


def test_a_spoon_of_dried_herb_stands_for_three_of_fresh(session: Session) -> None:
    answer = session.reply("can I use fresh basil instead of a teaspoon of dried")
    # One part dried to three fresh (pk_wvu): a teaspoon is a tablespoon of leaves.
    assert "about 1 tbsp of fresh leaves" in first(answer)


# powders


def test_powder_of_an_amount_in_a_sentence(session: Session) -> None:
    answer = session.reply("how much powder does 60 g of dried onion give")
    # 2 to 10 % stays in mill and sieve; a teaspoon of onion powder weighs 2.4 g (pk_sr26): 0.49
    # g/ml, so 57 g take about 117 ml.
    assert figure(answer, "powder_mass").likely == pytest.approx(57, abs=0.5)
    assert figure(answer, "powder_volume").likely == pytest.approx(117, abs=3)
    assert "57 g of onion powder" in first(answer)


@pytest.mark.parametrize(
    ("note", "words"),
    [
        ("should I grind dried tomatoes coarse or fine", "Coarse keeps its scent"),
        ("what sieve for kale powder", "strainer"),
        ("will my tomato powder cake", "draw up to"),
        (
            "can I grind hot dried peppers in the blender, what about the dust",
            "let the dust settle",
        ),
        ("how long does kale powder keep", "one to two months"),
    ],
)
def test_powder_questions_get_what_they_ask_first(session: Session, note: str, words: str) -> None:
    assert words in first(session.reply(note))


def test_caking_goes_by_the_humidity_of_the_kitchen(session: Session) -> None:
    damp = first(session.reply("the kitchen is at 75 % humidity, will my tomato powder cake"))
    # Potato isotherm, kiranoudis-1993-md: at 0.75 it holds 16 % water, above the 13 % of a lump.
    water = gab_water(0.75, 0.09721, 47.501, 0.65253)
    assert f"75% humidity the powder would draw up to {water:.0%}" in damp
    assert "set to a lump" in damp


# scraps


@pytest.mark.parametrize(
    ("note", "words"),
    [
        ("what do I do with the tomato skins", "Dry them crisp"),
        ("what can I do with apple peels and cores", "Simmer clean peels and cores"),
        ("what to do with herb stems", "Soft stems"),
        ("can I use the parsley stems for anything, what are they good for", "Soft stems"),
        ("what do I do with the courgette ends and seeds", "stock or soup"),
        ("what about the pepper cores and seeds", "stock pot"),
        ("beet tops and peelings, what can I do with them", "cook them like chard"),
        ("I've plum stones left over, any use", "kernels form cyanide"),
    ],
)
def test_scraps_get_a_use_or_the_compost(session: Session, note: str, words: str) -> None:
    answer = session.reply(note)
    assert words in told(answer)
    assert "compost" in told(answer)


@pytest.mark.parametrize(
    "note", ["2 kg tomatoes, skins on, sliced", "should I take the skins off the peppers",
             "2 lb peppers, cored, seeds out, on two trays", "do I peel carrots"]
)  # fmt: skip
def test_preparing_is_no_question_about_scraps(session: Session, note: str) -> None:
    rules = {ruling.rule for ruling in session.reply(note).advice.rulings}
    assert "sums.scraps" not in rules


def test_scraps_name_foods_that_are_known() -> None:
    foods = {row.food for row in kitchen_use().byproducts} - {"herb", "any"}
    assert foods <= set(tables().foods)


# canning

_CANNING = (
    "how long do I process the pint jars of beets",
    "water bath for the courgette pickles, how many minutes",
    "I want to bottle the plums for the pantry",
    "can I leave the pickles on the shelf if I boil the jars",
    "how long do I boil the jars of pickles so they seal",
    "the lids popped, can the pickled beets stay in the larder",
    "how much brine for nine half-litre jars of beets to can",
    "brine for 6 quarts of dilled beans, shelf stable",
    "what pressure for green beans in pints",
    "pressure can 7 quarts of green beans, how long",
    "processing time for pickled peppers at 1000 m",
    "steam canning the pickled plums, how long",
    "oven canning the pickles at 120 C",
    "open kettle the beet pickles",
    "how do I make the fridge pickles keep a year without a fridge",
    "vacuum seal the pickle jars and leave them on the shelf",
    "make the courgette pickles shelf stable, how much more vinegar",
    "how much vinegar so the pickles keep at room temperature",
    "pickles for the pantry: brine for 2 kg beets",
    "how many minutes in the canner for pint jars of pickled carrots",
    "jelly from the plum juice for the pantry, how long in the water bath",
    "how many pounds of pressure for quart jars of beets",
)


@pytest.mark.parametrize("note", _CANNING)
def test_canning_is_stopped_without_a_time_or_an_amount(session: Session, note: str) -> None:
    answer = session.reply(note)
    assert answer.stopped
    assert answer.numbers == ()
    text = "\n".join(line.text for line in answer_lines(answer, session.titles))
    assert not re.search(r"\b\d+\s*(?:min\b|minutes|psi|kPa|pounds? (?:of )?pressure)", text)
    assert "tested" in text


@pytest.mark.parametrize(
    "note",
    ["process the dried tomatoes to a powder", "how much brine for four pint jars of beets",
     "I keep the dried beets on the shelf", "wash the jars in boiling water before filling"],
)  # fmt: skip
def test_plain_kitchen_words_ask_no_process(note: str) -> None:
    assert not asks_process(note)
