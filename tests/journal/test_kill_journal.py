"""A short run of ``kill_journal.py``; the long one is run by hand (200 kills)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from kill_journal import kill_series


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is a thing of POSIX systems")
def test_eight_kills_lose_no_answered_note(tmp_path: Path) -> None:
    run = kill_series(tmp_path / "home", 8, seed=4)
    assert run.faults == []
    assert run.kills == 8
    assert run.answered
