"""A session on an empty home."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from stillroom.talk.session import Session


@pytest.fixture
def session(tmp_path: Path) -> Session:
    return Session(tmp_path, clock=lambda: datetime(2026, 9, 1, 9))
