"""The two worked example packs have no fault that the checker can find."""

from __future__ import annotations

from pathlib import Path

import pytest

from stillroom.advice.check import rules_check
from stillroom.base.paths import rules_dir

PACKS = sorted((rules_dir() / "examples").glob("*.yaml"))


@pytest.mark.parametrize("path", PACKS, ids=lambda path: path.stem)
def test_example_pack_is_clean(path: Path) -> None:
    mine = [str(problem) for problem in rules_check([path]) if problem.file == str(path)]
    assert mine == []


def test_both_examples_are_there() -> None:
    assert len(PACKS) == 2
