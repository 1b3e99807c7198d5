"""Shapes of speech that were once misread: each with variants, and what stays as it was."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest

from stillroom.base.statement import Context, Statement
from stillroom.reader.read import read

NOW = datetime(2026, 8, 14, 9)


def heard(note: str, before: str = "", **context: Any) -> list[Statement]:
    """The statements of a note, said after another one."""
    last = read(before, Context(now=NOW)).statements if before else ()
    foods = tuple(dict.fromkeys(one.food for one in reversed(last) if one.food))
    return list(read(note, Context(now=NOW, last=last, foods=foods, **context)).statements)


def brief(statements: list[Statement]) -> list[tuple[str, str | None, str | None]]:
    return [(one.act, one.food, one.about) for one in statements]


@pytest.mark.parametrize(
    ("note", "food", "about"),
    [
        ("how did the tomatoes go?", "tomato", "history"),
        ("can I can beets?", "beet", "safe"),
        ("should we can the pears", "pear", "safe"),
        ("mesh or sheet for tomato puree", "tomato", "surface"),
        ("plum halves: parchment or foil", "plum", "surface"),
        ("fridge or cellar for dried pears", "pear", "storage"),
        ("is the mint crispy enough if stems bend", "mint", "dryness"),
        ("are the plums leathery enough to come off", "plum", "dryness"),
        ("which jar should I use first?", None, "use-first"),
        ("which of the bags do we finish first", None, "use-first"),
        ("how long for 8 mm pear slices at 57?", "pear", "time"),
        ("how hot for 5 mm beet rounds", "beet", "temperature"),
        ("what can I make with dried onion carrot and parsley", None, "mix"),
        ("make 3 jars of herb dip mix without mint", None, "mix"),
        ("how much do I need to get a cup of dried leeks", "leek", "yield"),
        ("how many fresh apples make a pound of dried", "apple", "yield"),
        ("drying time for halved plums", "plum", "time"),
        ("best temp for basil", "basil", "temperature"),
        ("shelf life of dried tomatoes", "tomato", "shelf-life"),
        ("12 hours cost at 32p a unit", None, "energy"),
        ("could you tell me when I need to shake the cherries next", "cherry", "conditioning"),
        ("is 3% rice vinegar ok", "vinegar", "brine"),
        ("run out of fresh thyme, what do I use instead", "thyme", "substitute"),
        ("how long will the parsnips want if I cut them a quarter inch", "parsnip", "time"),
        ("can I dry onions with the door open? and how long?", "onion", "time"),
    ],
)
def test_question_is_told_by_its_shape(note: str, food: str | None, about: str) -> None:
    assert brief(heard(note))[-1] == ("ask", food, about)


def test_bare_question_asks_of_the_food_before() -> None:
    assert brief(heard("how long?", "6 kg plums halved")) == [("ask", "plum", "time")]
    assert brief(heard("how long?")) == [("ask", None, "time")]


def test_dried_as_an_outcome_is_no_dried_food() -> None:
    assert not heard("how much will 5 kg of plums weigh dried")[0].dried
    assert heard("how long do dried plums keep")[0].dried


@pytest.mark.parametrize(
    ("note", "amount"),
    [("no, 250", 250), ("sorry, 310", 310), ("no, 250, not 640", 250), ("swap it for 700 g", 700)],
)  # fmt: skip
@pytest.mark.parametrize("asked", [None, "amount", "thickness_mm"])
def test_correction_keeps_the_unit_of_the_weighing(
    note: str, amount: float, asked: str | None
) -> None:
    (one,) = heard(note, "Loaded 2 kg plums. They now weigh 640 g", asked=asked)
    assert one.act == "amend"
    assert one.amount is not None
    assert one.amount.si == amount


def test_tray_put_right_after_a_volume_is_a_weight() -> None:
    load, amend = heard("2 cups of leeks on two trays, the second tray was 410, not 140")
    assert (load.act, load.trays, amend.act, amend.tray) == ("load", 2, "amend", 2)
    assert amend.amount is not None
    assert (amend.amount.si, amend.amount.si_unit) == (410, "g")


def test_trays_are_weighed_one_by_one() -> None:
    found = heard("tray 2: 640 g, tray 1: 610 g", "plums on two trays")
    assert [(one.act, one.food, one.tray, one.amount and one.amount.si) for one in found] == [
        ("weigh", "plum", 2, 640), ("weigh", "plum", 1, 610),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("note", "food", "share"),
    [
        ("gave half of the apples to Nell", "apple", 0.5),
        ("gave a third of the plums away", "plum", 0.3333),
        ("took half the tomatoes for the stew", "tomato", 0.5),
    ],
)
def test_share_given_away_is_a_use(note: str, food: str, share: float) -> None:
    (one,) = heard(note)
    assert (one.act, one.food, one.share) == ("use", food, share)


def test_one_eaten_is_one_of_them() -> None:
    load, use = heard("3 trays of plums at 57 C. the dog ate one")
    assert use.amount is not None
    assert (load.act, use.act, use.amount.si) == ("load", "use", 1)
    _, given = heard("packed the pears in four pint jars. gave one to Nell")
    assert (given.amount, given.vessel_count) == (None, 1)


@pytest.mark.parametrize(
    ("note", "act"),
    [
        ("took 60 g of leeks for soup", "use"),
        ("took 200 g of pears out of the jar", "use"),
        ("took 3 lb of plums off the tree", "have"),
        ("took two kilos of beets from the bed", "have"),
    ],
)
def test_taking_is_from_the_jar_or_from_the_garden(note: str, act: str) -> None:
    assert [one.act for one in heard(note)] == [act]


@pytest.mark.parametrize(
    ("note", "foods"),
    [
        ("fridge dills: 2 lb gherkins, 2 cups vinegar, 2 tbsp salt, dill heads, garlic",
         ["cucumber", "vinegar", "salt"]),
        ("courgette bread and butter pickles, 1 kg sliced, 400 ml cider vinegar",
         ["zucchini", "vinegar"]),
        ("Radishes 500g in a litre jar with 300 ml vinegar 200 ml water 15 g salt",
         ["radish", "vinegar", "salt"]),
        ("2 lb dilly beans, 2 cups vinegar", ["green bean", "vinegar"]),
    ],
)  # fmt: skip
def test_pickle_is_known_by_its_vinegar(note: str, foods: list[str]) -> None:
    found = heard(note)
    assert {one.act for one in found} == {"brine"}
    assert [one.food for one in found] == foods
    assert all(one.place is None for one in found)


def test_bought_vinegar_is_no_pickle() -> None:
    assert {one.act for one in heard("bought 2 litres of vinegar and 1 kg salt")} == {"have"}


@pytest.mark.parametrize(
    ("note", "expected"),
    [
        ("courgettes no sorry the cucumbers are on three trays at 52", [("load", "cucumber")]),
        ("the plums, no wait, the damsons are leathery", [("look", "plum")]),
        ("six pounds of pears no sorry apples sliced", [("have", "apple")]),
        ("6 lb pears, sliced. No sorry, apples", [("have", "pear"), ("amend", "apple")]),
    ],
)
def test_food_put_right_in_a_phrase(note: str, expected: list[tuple[str, str]]) -> None:
    assert [(one.act, one.food) for one in heard(note)] == expected


@pytest.mark.parametrize(
    ("note", "place"),
    [
        ("Moved jar of prunes from the cellar to the fridge", "fridge"),
        ("took the leeks out of the fridge and put them on the shelf", "shelf"),
        ("shifted two jars of dried pears from pantry to cellar", "cellar"),
    ],
)
def test_place_is_where_it_is_now(note: str, place: str) -> None:
    assert heard(note)[-1].place == place


@pytest.mark.parametrize(
    ("note", "before"),
    [("The powder went in a jar", "ground the beets"), ("back in the jars", "the plums are damp"),
     ("Three half-pints", "packed the plums"), ("two quarts", "packed the leeks")],
)  # fmt: skip
def test_into_vessels_is_packing(note: str, before: str) -> None:
    assert [one.act for one in heard(note, before)] == ["pack"]


@pytest.mark.parametrize(
    ("note", "prep"),
    [("beef strips heated to 160 F then dried at 145", ("cooked",)),
     ("chicken strips heated to 150 F", ()), ("chicken strips heated to 165 F", ("cooked",))],
)  # fmt: skip
def test_meat_heated_through_is_cooked(note: str, prep: tuple[str, ...]) -> None:
    assert heard(note)[0].prep == prep


def test_batch_name_is_no_count() -> None:
    batches = (("apple-1", "apple", "drying"),)
    (one,) = heard("apple-1 is leathery", batches=batches)
    assert (one.food, one.batch, one.amount) == ("apple", "apple-1", None)
    (other,) = heard("put apple-7 in two jars", batches=batches)
    assert (other.amount, other.batch) == (None, None)


def test_settings_keep_their_own_numbers() -> None:
    (one,) = heard("altitude 1500 m, kitchen at 30")
    assert (one.altitude_m, one.temperature_c) == (1500, 30)
    (two,) = heard("six trays, metric please")
    assert (two.trays, two.measure) == (6, "metric")


@pytest.mark.parametrize(
    "note",
    [
        "sell by date on the tomato powder has gone",
        "the label on the leek powder fell off",
        "the beets will have to wait till tomorrow",
        "no fresh mint this week",
        "I want to grind the celery later",
    ],
)
def test_what_was_not_done_makes_no_statement(note: str) -> None:
    assert heard(note) == []


@pytest.mark.parametrize(
    "note",
    [
        "we're off to Turkey for two weeks",
        "got a plum job in the village",
        "she gave me some sage advice over two cups of tea",
        "two sacks of pea gravel for the path",
        "onion sets went in the ground, three rows",
        "the leek moth is about again",
        "pepper spray in her bag",
        "fish pond is full of leaves",
        "we bought fig rolls and ate two packets",
        "a bag of onion fertiliser",
        "lettuce seed two packets",
        "a jar of lemon curd in the fridge",
        "beetroot brownies went down well, all eaten",
        "mint imperials in a jar",
        "it was a peach of a day, dry and bright",
        "sowed corn in trays, three trays",
        "painted the shed orange and it's still tacky",
        "celeriac 1 kg grated, 2 trays",
        "three litres of paint on the shelf",
        "my pants are washed and on the line",
        "my son Basil came round and he's dry now",
        "Rosemary from next door borrowed a tray",
        "Ginger the cat got into the bag",
        "we need milk and eggs and a bag of sugar from the shop",
        "the pear drop sweets are in a tin",
    ],
)
def test_food_word_of_another_thing_is_no_food(note: str) -> None:
    assert all(one.food is None for one in heard(note))


@pytest.mark.parametrize(
    ("note", "food"),
    [
        ("the basil brought in this morning is washed", "basil"),
        ("apple rings on three trays", "apple"),
        ("two pounds of okra mother picked, washed", "okra"),
        ("garlic already peeled, 3 heads", "garlic"),
        ("orange zest 40 g on fine mesh", "citrus peel"),
    ],
)
def test_food_before_another_word_is_still_food(note: str, food: str) -> None:
    assert {one.food for one in heard(note)} == {food}


def test_ordinary_word_that_sounds_like_a_food_is_taken_in_an_amount() -> None:
    (one,) = heard("three pounds of peers peeled and sliced")
    assert (one.food, one.guesses) == ("pear", (("peers", "pears"),))
    assert heard("my peers peeled off home") == []
