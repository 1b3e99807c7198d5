"""Unit sizes that were kept are those that pint gives, and whatever else is kept counts as none."""

from __future__ import annotations

from pathlib import Path

import pytest

from stillroom.base import cache, quantity


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr("stillroom.base.cache.cache_dir", lambda: tmp_path)
    return tmp_path


def by_pint(definition: str) -> float:
    what, base = definition.split(" in ")
    return float(quantity._registry().Quantity(what).to(base).magnitude)


DEFINITIONS = ["453.59237 gram in gram", "0.5 milliliter in milliliter", "hour in hour"]


def test_kept_sizes_are_those_of_pint(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = quantity._sizes(DEFINITIONS)
    assert first == [by_pint(text) for text in DEFINITIONS] == [453.59237, 0.5, 1.0]
    monkeypatch.setattr(quantity, "_registry", None)  # a second time pint is not asked
    assert quantity._sizes(DEFINITIONS) == first


@pytest.mark.parametrize("rubbish", [None, [], ["1", 2.0, 3.0], {"a": 1}, [1.0]])
def test_rubbish_in_the_cache_is_made_anew(kept: Path, rubbish: object) -> None:
    cache.keep(cache.digest("units", *DEFINITIONS), rubbish)
    assert quantity._sizes(DEFINITIONS) == [453.59237, 0.5, 1.0]


def test_changed_definitions_are_asked_anew(kept: Path) -> None:
    assert quantity._sizes(["2 gram in gram"]) == [2.0]
    assert quantity._sizes(["3 gram in gram"]) == [3.0]
