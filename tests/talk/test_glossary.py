"""Words of the trade: each has a meaning and known sources, and is explained when asked."""

from __future__ import annotations

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.talk.glossary import COLUMNS, meaning_asked, terms
from stillroom.talk.session import Session

ROWS = read_csv(knowledge_dir() / "glossary.csv", COLUMNS)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row["term"])
def test_every_term_is_explained_when_it_is_asked_for(row: dict[str, str]) -> None:
    asked, reply = meaning_asked(f"um so what is {row['term']}?")
    assert asked
    assert reply is not None
    assert reply.text == row["meaning"]


def test_sources_are_known_and_no_word_stands_twice(session: Session) -> None:
    words = [w for row in ROWS for w in (row["term"], *filter(None, row["words"].split("|")))]
    assert len(words) == len(set(words))
    unknown = {s for _, sources in terms().values() for s in sources} - set(session.titles)
    assert not unknown


@pytest.mark.parametrize(
    "note",
    ["what is in the larder?", "what's the plan", "what is the temperature for plums",
     "3 kg plums, conditioning"],
)  # fmt: skip
def test_other_notes_ask_for_no_meaning(note: str) -> None:
    assert meaning_asked(note) == ("", None)


def test_the_meaning_comes_in_place_of_the_rules(session: Session) -> None:
    replies = session.reply("what is conditioning?").replies
    assert [reply.about for reply in replies] == ["meaning"]
