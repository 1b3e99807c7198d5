"""A session with a fixed clock, and the command line in this process."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import pytest

from stillroom.talk.session import Session

NOW = datetime(2026, 8, 14, 9, 0)


@dataclass(frozen=True)
class Ran:
    status: int
    out: str
    err: str


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "home"
    monkeypatch.setenv("STILLROOM_HOME", str(folder))
    monkeypatch.delenv("COLUMNS", raising=False)
    monkeypatch.setenv("TERM", "dumb")
    return folder


@pytest.fixture
def session(home: Path) -> Session:
    return Session(home, clock=lambda: NOW)


@pytest.fixture
def call(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> Callable[..., Ran]:
    """Runs the command line as `main` would; argparse's exit counts as the exit status."""
    from stillroom.talk.cli import run

    def calling(*words: str, given: bytes = b"") -> Ran:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(given), "utf-8"))
        try:
            status = run(words)
        except SystemExit as leaving:
            status = int(leaving.code or 0)
        out, err = capsys.readouterr()
        return Ran(status, out, err)

    return calling
