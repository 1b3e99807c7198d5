"""Faults put into a copy of knowledge/: each is found, with its place and what is expected."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir
from stillroom.tables.verify import verify


def test_verify_finds_nothing_in_the_shipped_tables() -> None:
    assert [str(problem) for problem in verify()] == []


def test_every_source_is_cited() -> None:
    """A source that no table, rule, equation or check rests on is a row that only ages."""
    root = knowledge_dir().parent
    folders = ("knowledge", "rules", "src", "tests/data")
    files = [path for folder in folders for path in (root / folder).rglob("*.*")]
    text = " ".join(
        path.read_text(encoding="utf-8")
        for path in files
        if path.suffix in (".csv", ".yaml", ".py") and path.name != "sources.csv"
    )
    cited = set(re.findall(r"[\w.-]*\w", text))
    ids = {row["id"] for row in read_csv(knowledge_dir() / "sources.csv")}
    assert ids - cited == set()


CASES = [
    ("ambiguous.csv", "squash,zucchini|", "squash,gourd|", "unknown-food", "ids of foods.csv"),
    ("classes.csv", "stone-fruit,stone fruit,140", "stone-fruit,stone fruit,warm", "bad-cell",
     "a number such as 4.5"),
    ("composition.csv", "85.56,14.44", "wet,14.44", "bad-cell", "a number such as 4.5"),
    ("drying.csv", ",140,4,6,", ",140,6,4,", "falling", "lower figure first"),
    ("foods.csv", "umn-drying-charts;missouri-qa472", "nobody-2020", "unknown-source",
     "id of sources.csv"),
    ("foods.csv", "aubergine|", "aubergine|courgette|", "word-clash", "ambiguous.csv"),
    ("foods.csv", "3-4,2-3,1-1.5", "1-2,2-3,4-5", "keeps-longer-warm", "keep_60f_months"),
    ("foods.csv", "bell pepper|beet|chili pepper", "medlar", "unknown-food", "ids of foods.csv"),
    ("portions.csv", ",raw,bushel,", ",raw,firkin,", "unknown-unit", "units.csv"),
    ("portions.csv", "plum,plum,raw,count,,,66", "plum,plum,raw,count,,,-66", "bad-cell",
     "above 0"),
    ("portions.csv", "plum,plum,raw", "sloe,plum,raw", "unknown-food", "canonical name"),
    ("refuse.csv", "plum,plum,pitted,6", "plum,plum,pitted,160", "bad-cell", "percentage"),
    ("sources.csv", ",handbook\n", ",rumour\n", "bad-kind", "one of handbook"),
    ("vessels.csv", "quart,quart jar,946,36", "quart,quart jar,946,1200", "bad-cell",
     "below ml"),
    ("yields.csv", "sweet corn,100", "sweet corn,lots", "bad-cell", "a number"),
]  # fmt: skip


@pytest.mark.parametrize(("file", "good", "bad", "name", "says"), CASES)
def test_verify_names_file_line_and_expectation(
    folder: Path, file: str, good: str, bad: str, name: str, says: str
) -> None:
    path = folder / file
    text = path.read_text(encoding="utf-8")
    at = text.index(good)
    path.write_text(text[:at] + bad + text[at + len(good) :], encoding="utf-8")
    found = [problem for problem in verify(folder) if problem.name == name]
    assert found, [str(problem) for problem in verify(folder)]
    assert any(problem.file.endswith(file) for problem in found)
    assert all(problem.line > 1 for problem in found)
    assert any(says in str(problem) for problem in found)


def test_verify_collects_several_faults(folder: Path) -> None:
    for file, good, bad, _, _ in (CASES[2], CASES[8], CASES[13]):
        path = folder / file
        path.write_text(path.read_text(encoding="utf-8").replace(good, bad, 1), encoding="utf-8")
    assert {"bad-cell", "unknown-unit"} <= {problem.name for problem in verify(folder)}
    assert len(verify(folder)) >= 3


def test_verify_reports_a_missing_table_and_a_ragged_row(folder: Path) -> None:
    (folder / "refuse.csv").unlink()
    with (folder / "vessels.csv").open("a", encoding="utf-8") as handle:
        handle.write("tub,tub\n")
    names = {problem.name for problem in verify(folder)}
    assert {"unreadable", "cell-count"} <= names
