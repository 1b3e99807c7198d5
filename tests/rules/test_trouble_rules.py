"""The pack "trouble": what went wrong and why, in many phrasings, and silence on ordinary notes."""

from __future__ import annotations

import pytest
from note_facts import facts_of

from stillroom.advice.advise import advise
from stillroom.advice.book import RuleBook
from stillroom.base.fact import Advice
from stillroom.base.problem import Problem


def answer(note: str, book: RuleBook) -> Advice:
    return advise(facts_of(note), book, measure="metric", engine="plain")


def fired(note: str, book: RuleBook) -> set[str]:
    given = answer(note, book)
    found = (*given.rulings, *given.cautions)
    return {item.rule for item in found if item.rule.startswith("trouble.")}


def test_the_pack_has_no_fault(built_in_faults: list[Problem]) -> None:
    found = [p for p in built_in_faults if p.file.endswith("trouble.yaml")]
    assert [str(problem) for problem in found] == []


def test_each_rule_answers_in_one_sentence_with_reason_and_source(book: RuleBook) -> None:
    mine = [rule for rule in book.rules if rule.pack == "trouble"]
    assert len(mine) >= 40
    for rule in mine:
        assert rule.say.endswith("."), rule.id
        assert ". " not in rule.say, rule.id
        assert rule.why, rule.id
        assert rule.sources, rule.id


# Other words for the same trouble than the examples in the pack.
ASKED = [
    ("how come the apple slices turned brown", "trouble.browned-fruit"),
    ("My pears went brown on the trays. Why?", "trouble.browned-fruit"),
    ("edges are hard but the plums are still wet in the middle", "trouble.crust"),
    ("is it case hardening", "trouble.crust"),
    ("my courgettes won't dry", "trouble.slow"),
    ("why is it so slow, the tomatoes have been in two days", "trouble.slow"),
    ("top tray dries quicker than the bottom", "trouble.uneven"),
    ("the onions got burnt", "trouble.scorched"),
    ("the parsley has lost its colour", "trouble.faded"),
    ("the dried dill tastes of nothing", "trouble.no-flavour"),
    ("can't get the apple leather off the paper", "trouble.stuck"),
    ("garlic powder has gone lumpy", "trouble.caked"),
    ("soaked the dried corn for hours and it's still hard", "trouble.tough-wet"),
    ("my zucchini is bitter", "trouble.bitter-squash"),
    ("my zucchini is bitter", "trouble.bitter-squash-eating"),
    ("the brine's gone milky round the pickled peppers", "trouble.cloudy"),
    ("why is the middle of my pickled cucumbers hollow", "trouble.hollow"),
    ("the garlic in my pickles turned green", "trouble.garlic-blue"),
    ("the dried plums have a white powdery coating", "trouble.bloom"),
    ("sugar crystals on the dried pears", "trouble.crystals"),
    ("my plums taste of garlic", "trouble.smell"),
    ("the sage has gone black", "trouble.herb-black"),
    ("dried leeks went pink", "trouble.onion-pink"),
    ("the potato slices turned gray", "trouble.potato-gray"),
    ("the dryer can't get above 45 C", "trouble.no-heat"),
    ("is the humid weather making it dry so slowly", "trouble.damp-air"),
    ("kale crisps were crisp last week, now they're chewy", "trouble.lost-crisp"),
    ("the peaches smell of beer on the trays", "trouble.sour"),
]  # fmt: skip


@pytest.mark.parametrize(("note", "rule"), ASKED)
def test_a_complaint_is_answered(note: str, rule: str, book: RuleBook) -> None:
    assert rule in fired(note, book)


ORDINARY = [
    "4 kg plums, halved and pitted, 5 mesh trays at 57 C",
    "Courgettes sliced 5 mm, steamed 3 minutes, drained, on mesh at 55 C",
    "Tray two weighs 410 g after six hours",
    "Peppers brittle, into two pint jars to condition",
    "Day 3 of conditioning the plums, all loose, no fog",
    "Ground 150 g of dried peppers to powder",
    "Fridge pickles: 1 kg beets, 500 ml vinegar, 500 ml water, 2 tbsp salt",
    "Used 100 g of the dried peppers in a stew",
    "Soup mix: 1 cup dried onion, 2 tbsp dried parsley, 1 tbsp salt",
    "How long do plums take?",
    "What dryer temperature does mint need?",
    "Keep the jars in a dark cupboard",
    "The kitchen is 24 C and damp today",
    "Green plums and black pepper in the pink jar",
    "2 kg red onions, brown sugar, white vinegar",
    "Mint leaves crumble, off the trays",
    "Basil stripped from the stems, fine mesh, 38 C",
    "Tomatoes leathery, not sticky, no mould",
]  # fmt: skip


@pytest.mark.parametrize("note", ORDINARY)
def test_an_ordinary_note_gets_no_trouble(note: str, book: RuleBook) -> None:
    assert fired(note, book) == set()


def test_bitter_squash_is_never_called_safe(book: RuleBook) -> None:
    given = answer("is it safe to dry bitter courgettes", book)
    assert "bitter-squash" in {caution.hazard for caution in given.cautions}


@pytest.mark.parametrize(
    "note", ["the dried figs have fuzzy white threads", "prunes covered in white fur"]
)
def test_mould_is_not_taken_for_sugar(note: str, book: RuleBook) -> None:
    assert "trouble.bloom" not in fired(note, book)


@pytest.mark.parametrize("note", ["the pickled garlic is blue and fuzzy", "green mould on garlic"])
def test_mould_on_garlic_is_not_called_harmless(note: str, book: RuleBook) -> None:
    assert "trouble.garlic-blue" not in fired(note, book)


SPOILED = [
    "One of the vacuum bags has puffed up like a balloon.",
    "kidney beans simmered on low, not boiled, still crunchy",
    "Threw the slimy pickles out, jar and all.",
    "The savory has faded and smells off.",
]


@pytest.mark.parametrize("note", SPOILED)
def test_what_is_unsafe_or_gone_gets_no_soothing_answer(note: str, book: RuleBook) -> None:
    assert fired(note, book) == set()
