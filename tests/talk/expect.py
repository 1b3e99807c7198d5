"""Write the present reading of transcripts beside the expected ones: a draft to correct by hand.

``python tests/talk/expect.py [NAME …]`` writes ``tests/talk/expected/NAME.json`` for each named
transcript, or for each that has none. A draft is a reading, not a review: compare it with the
transcript sentence by sentence before it is committed.
"""

from __future__ import annotations

import json
import sys
import tempfile
from datetime import datetime
from pathlib import Path
from typing import Any

from stillroom.talk.session import Session

ROOT = Path(__file__).resolve().parents[2]
EXPECTED = Path(__file__).parent / "expected"
TRANSCRIPTS = ROOT / "transcripts_demo"
_OWN = frozenset({"batch", "text", "asked", "at", "dried", "dated", "undo"})
NOW = datetime(2026, 8, 14, 21, 0)


def statements(text: str) -> list[dict[str, Any]]:
    """What is read in a transcript, note by note in one conversation, without batches."""
    found: list[dict[str, Any]] = []
    with tempfile.TemporaryDirectory() as home:
        session = Session(Path(home), clock=lambda: NOW)
        for note in session.notes(text):
            found += [_slots(item) for item in session.reply(note).as_json()["statements"]]
    return found


def _slots(item: dict[str, Any]) -> dict[str, Any]:
    """The slots that the test holds, in the order they were filled."""
    kept = {name: value for name, value in item.items() if name not in _OWN}
    if "amount" in kept:
        si = ("si", "si_low", "si_high", "si_unit")
        kept["amount"] = {k: v for k, v in kept["amount"].items() if k not in si}
    return kept


def main(names: list[str]) -> None:
    """Write the drafts."""
    for path in sorted(TRANSCRIPTS.glob("*.txt")):
        target = EXPECTED / f"{path.stem}.json"
        if path.stem in names or (not names and not target.exists()):
            rows = [json.dumps(item, ensure_ascii=False) for item in
                    statements(path.read_text(encoding="utf-8"))]  # fmt: skip
            target.write_text("[\n" + ",\n".join(rows) + "\n]\n", encoding="utf-8")


if __name__ == "__main__":
    main(sys.argv[1:])
