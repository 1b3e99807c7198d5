"""Each broken pack gets exactly the messages that stand in its last lines, and nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stillroom.advice.check import rules_check

BROKEN = sorted((Path(__file__).parent / "broken").glob("*.yaml"))
_EXPECT = re.compile(r"^# expect (.+)$", re.MULTILINE)


def test_there_are_at_least_twenty() -> None:
    assert len(BROKEN) >= 20


@pytest.mark.parametrize("path", BROKEN, ids=lambda path: path.stem)
def test_broken_pack_is_told_what_is_wrong(path: Path) -> None:
    expected = _EXPECT.findall(path.read_text(encoding="utf-8"))
    assert expected
    assert [str(problem) for problem in rules_check([path])] == [
        f"{path}:{text}" for text in expected
    ]
