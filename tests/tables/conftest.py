"""A copy of knowledge/ to put faults or rows into."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from stillroom.base.paths import knowledge_dir


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    target = tmp_path / "knowledge"
    shutil.copytree(knowledge_dir(), target)
    return target
