"""A cache folder of its own for each test, and no processes left running behind it."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stillroom.base.cache.cache_dir", lambda: tmp_path / "cache")
    monkeypatch.setattr("stillroom.advice.canary.ask", lambda made: None)
