"""The small lists of words: each is asked for somewhere, and no word stands twice in one."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.reader.mention_words import forms, tokens

ROWS = read_csv(knowledge_dir() / "word_sets.csv")
READER = Path(__file__).resolve().parents[2] / "src" / "stillroom" / "reader"


def test_every_list_is_asked_for_and_every_list_asked_for_is_there() -> None:
    code = "".join(path.read_text(encoding="utf-8") for path in READER.glob("*.py"))
    asked = set(re.findall(r'word_(?:set|map)\("([a-z-]+)"\)', code))
    assert asked == {row["set"] for row in ROWS}


def test_no_word_stands_twice_in_a_list() -> None:
    words = Counter((row["set"], word) for row in ROWS for word in row["words"].split("|"))
    assert [word for word, count in words.items() if count > 1] == []
    assert all(word.strip() == word != "" for _, word in words)


def test_spellings_and_irregular_forms_meet() -> None:
    assert [token.text for token in tokens("moldy chiles")] == ["mouldy", "chillies"]
    assert "leave" in forms("left")
