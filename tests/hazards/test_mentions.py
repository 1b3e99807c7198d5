"""The words that hazards rest on: patterns, numbers, negation, windows, and bad tables."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stillroom.advice.book import RuleBook
from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import ProblemError
from stillroom.reader.concept_patterns import Concepts, check_concepts, load_concepts
from stillroom.reader.mention_numbers import measures
from stillroom.reader.mention_words import tokens
from stillroom.reader.mentions import find_mentions, vocabulary

TABLE = """concept,pattern,note
@topic,plum ; pear ; beef,
@meat,beef ; ground beef ; @game,
@game,venison ; roe deer,
mould,mould ; mouldy,
heated,heat|cook ..6 F>=159,guard: makes meat safe
plums,plum,context
oil,garlic <4> oil ; jar ..3 kitchen_table|shelf,
long,H>2,
weak,vinegar ..3 P<5,
meat,@meat,
skin,=peel,
stem,botul*,
maybe,raw very? fresh fish,
"""


@pytest.fixture(scope="module")
def concepts(tmp_path_factory: pytest.TempPathFactory) -> Concepts:
    file = tmp_path_factory.mktemp("concepts") / "concepts.csv"
    file.write_text(TABLE, encoding="utf-8")
    assert check_concepts(file) == []
    return load_concepts(file)


WORDS = [
    "no", "not", "jar", "mould", "oil", "garlic", "in", "raw", "beef", "strips", "tray", "160",
    "F", "hours", "overnight", "but", ".", "?", ",", "canned", "how", "can", "i", "fridge", "out",
    "of", "the", "without", "two", "one", "half", "½", "%", "°", "it",
]  # fmt: skip
NAMED = [
    ("mold on it", {"mould"}), ("mouldy", {"mould"}), ("no mould", set()),
    ("not mouldy at all", set()), ("free of mould", set()), ("mould: none", set()),
    ("any mould? no", set()), ("No, there is mould", {"mould"}), ("not only mould", {"mould"}),
    ("5 no 6 trays, mould", {"mould"}), ("never saw mould", set()),
    ("nothing but mould", {"mould"}), ("no clumps, fog or mould", set()),
    ("heated to 160F", {"heated"}), ("cooked it till one sixty", {"heated"}),
    ("heated to 71.2 C", {"heated"}), ("heated to 140F", set()),
    ("not sure whether it was heated to 160 F", set()), ("didn't heat it to 160F", set()),
    ("meant to heat it to 160 but didn't", set()),
    ("no plums left", {"plums"}), ("oil over the garlic", {"oil"}), ("garlic in oil", {"oil"}),
    ("garlic, not oil", set()), ("jar on the kitchen table", {"oil"}), ("jar on the table", set()),
    ("out for three hours", {"long"}), ("overnight", {"long"}), ("half an hour", set()),
    ("two and a half hours", {"long"}), ("vinegar at 4%", {"weak"}), ("vinegar 5 percent", set()),
    ("ground beef", {"meat"}), ("roe deer", {"meat"}), ("peel", {"skin"}), ("peeled", set()),
    ("botulism", {"stem"}), ("raw very fresh fish", {"maybe"}), ("raw fresh fish", {"maybe"}),
]  # fmt: skip


@pytest.mark.parametrize(("note", "named"), NAMED)
def test_a_note_names_concepts(note: str, named: set[str], concepts: Concepts) -> None:
    found = {item.concept for item in find_mentions(note, concepts) if not item.negated}
    assert found == named


def test_a_mention_keeps_its_words(concepts: Concepts) -> None:
    (item,) = find_mentions("Look: Ground beef.", concepts)
    assert (item.text, item.start, item.end) == ("Ground beef", 6, 17)


@pytest.mark.parametrize(
    ("note", "windows"),
    [
        ("Pears done. They are mouldy.", [0]),
        ("Pears done. Plums loose. They are mouldy.", [1]),
        ("the pears are fine but the plums are mouldy", [1]),
    ],
)
def test_a_window_is_what_is_said_of_one_food(
    note: str, windows: list[int], concepts: Concepts
) -> None:
    found = [item.sentence for item in find_mentions(note, concepts) if item.concept == "mould"]
    assert found == windows


@pytest.mark.parametrize(
    ("said", "kind", "value"),
    [
        ("one sixty five degrees", "F", 165.0), ("at 50", "F", 122.0), ("at 125", "F", 125.0),
        ("60 C", "F", 140.0), ("a hundred and thirty f", "F", 130.0),
        ("a couple of days", "H", 48.0), ("all afternoon", "H", 5.0), ("45 minutes", "H", 0.75),
        ("2½ hours", "H", 2.5), ("four percent", "P", 4.0), ("1/2 %", "P", 0.5),
    ],
)  # fmt: skip
def test_numbers_tell_what_they_measure(said: str, kind: str, value: float) -> None:
    found = [m.value for ms in measures(tokens(said)).values() for m in ms if m.kind == kind]
    assert found == [pytest.approx(value)]


def test_the_kitchen_is_not_a_dryer() -> None:
    found = measures(tokens("the kitchen is at 75 degrees"))
    assert [m.value for ms in found.values() for m in ms if m.kind == "F"] == [75.0]


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("a,..3 fish,", "begins and ends with a word"), ("a,fish ..99 oil,", "1 to 20 words"),
        ("a,one <3> two <3> three,", "only one"), ("a,Fish two,", "no word"),
        ("a,@nowhere fish,", "not defined"),
    ],
)  # fmt: skip
def test_a_bad_pattern_is_named_with_its_line(row: str, said: str, tmp_path: Path) -> None:
    file = tmp_path / "concepts.csv"
    file.write_text(f"concept,pattern,note\n{row}\n", encoding="utf-8")
    (problem,) = check_concepts(file)
    assert said in problem.text
    assert (problem.file, problem.line) == (str(file), 2)


def test_a_table_without_its_columns_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "concepts.csv"
    file.write_text("concept,words\n", encoding="utf-8")
    with pytest.raises(ProblemError):
        load_concepts(file)


def test_the_shipped_table_is_sound_and_used(book: RuleBook) -> None:
    assert check_concepts(knowledge_dir() / "concepts.csv") == []
    tested = {
        check.value
        for rule in book.rules
        for pattern in (*rule.when, *rule.unless)
        for check in pattern.tests
        if pattern.kind == "mention" and check.field == "concept"
    }
    assert tested <= vocabulary()
    unused = {name for name in vocabulary() - tested if not name.startswith("trouble-")}
    assert unused == set()


def test_every_set_of_words_stands_in_a_pattern() -> None:
    rows = read_csv(knowledge_dir() / "concepts.csv")
    named = {name for row in rows for name in re.findall(r"@[\w-]+", row["pattern"])}
    by_the_reader = {"@topic", "@ignore", "@meatword", "@fishword"}
    sets = {row["concept"] for row in rows if row["concept"].startswith("@")}
    assert sets - named - by_the_reader == set()


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=300))
def test_any_text_is_read_without_a_fault(text: str) -> None:
    for item in find_mentions(text):
        assert text[item.start : item.end] == item.text


@settings(max_examples=100, deadline=None)
@given(
    st.lists(
        st.sampled_from(WORDS),
        max_size=60,
    )
)
def test_any_row_of_our_own_words_is_read_without_a_fault(words: list[str]) -> None:
    text = " ".join(words)
    for item in find_mentions(text):
        assert text[item.start : item.end] == item.text
