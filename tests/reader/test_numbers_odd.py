"""Figures with odd signs in them, found by fuzz_read.py: read or left, never a crash."""

from __future__ import annotations

from datetime import datetime

import pytest

from stillroom.base.statement import Context
from stillroom.reader.read import read


@pytest.mark.parametrize(
    "note",
    ["1/\x1e2 kg plums", "1\x1c1/2 kg plums", f"{'1' * 23}/2 kg plums", f"{'1' * 24}/2 kg plums",
     "1 /\x1f 2 lb plums", "3/0 kg plums", "1,\x1e5 kg plums"],
)  # fmt: skip
def test_odd_figures_are_no_crash(note: str) -> None:
    read(note, Context(datetime(2026, 8, 20, 9)))
