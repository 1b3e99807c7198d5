"""`rules show` and `rules trace`: what a rule rests on, and what happened on a note."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.advice.advise import advise
from stillroom.advice.packs import load_book
from stillroom.advice.trace import rules_show, rules_trace
from stillroom.talk import manual
from stillroom.talk.example_facts import facts_at

BOOK = load_book(installed=False)
FACTS = facts_at(datetime(2026, 8, 14, 9))


def test_show_names_sources_in_words_and_what_feeds_the_rule() -> None:
    text = rules_show(BOOK, "surface.solid-wet", {"common-practice": "What kitchens do."})
    assert text is not None
    assert "sources common-practice: What kitchens do." in text
    assert "fed by  surface.find-loose-wet: finding batch $lot.batch, is loose-wet" in text
    assert "over    surface.mesh-pieces" in text


def test_show_knows_who_goes_over_a_rule_and_the_sources_of_packs(tmp_path: Path) -> None:
    path = tmp_path / "mine.yaml"
    path.write_text(
        "pack: mine\nversion: 1.0.0\nstanding: made up\nsources: {habit: How we do it.}\nrules:\n"
        "  - id: mine.foil\n    when: [{as: lot, kind: lot, cut: pureed}]\n"
        "    advise: {topic: surface}\n    say: Use foil.\n    why: A reason.\n"
        "    sources: [habit]\n    overrides: [surface.solid-puree]\n",
        encoding="utf-8",
    )
    book = load_book(extra=[path], installed=False)
    assert "sources habit: How we do it." in str(rules_show(book, "mine.foil", {}))
    assert "under   mine.foil" in str(rules_show(book, "surface.solid-puree", {}))
    assert rules_show(book, "mine.nothing", {}) is None


def test_trace_shows_what_rules_looked_at_and_no_more() -> None:
    advice = advise(FACTS("2 kg courgettes, shredded"), BOOK, engine="plain")
    rows = rules_trace(advice, BOOK).splitlines()
    at = rows.index("surface.solid-wet (surface)")
    assert rows[at + 1].startswith("  lot = lot: batch zucchini, food zucchini, cut shredded")
    assert "blended" not in rows[at + 1]
    assert rows[at + 5].startswith("  advises surface: Spread the wet shredded")
    assert "  -> finding: batch zucchini, is loose-wet" in rows[:at]  # added before it is used
    assert sum(not row.startswith(" ") for row in rows) == len(advice.firings)


def test_trace_shows_stops() -> None:
    advice = advise(FACTS("there is mould on the plums in the jar"), BOOK, engine="plain")
    assert "  warns stop: " in rules_trace(advice, BOOK)


@pytest.mark.parametrize(
    "text", [manual.TOP, *(part for pair in manual.ABOUT.values() for part in pair)]
)
def test_rules_named_in_the_help_exist(text: str) -> None:
    for row in text.splitlines():
        if "rules show " in row:
            assert row.split()[-1] in BOOK.by_id
