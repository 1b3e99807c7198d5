"""Write the sessions and the validation table of README.md anew: ``python tests/talk/capture.py``.

Each part stands between ``<!-- begin NAME -->`` and ``<!-- end NAME -->``. The sessions are what
the program really prints, at 80 columns, with a fixed clock and an empty home.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
CALL = [sys.executable, "-m", "stillroom", "--measure", "metric", "--now"]
# One evening and the days after it: moment and what is said, each day one run of the program.
SEASON = (
    ("2026-08-14T18:30:00", ("6 kg courgettes, shredded, drained", "why?")),
    ("2026-08-15T07:00:00", (
        "courgettes are brittle, 310 g, into a litre jar to condition",
        "can I can the rest of the courgettes in the oven?",
    )),
    ("2026-08-16T08:00:00", ("what needs doing today?", "scratch that")),
)  # fmt: skip


def sessions() -> str:
    """The conversation of the README, word for word."""
    parts = []
    with tempfile.TemporaryDirectory() as home:
        env = {**os.environ, "STILLROOM_HOME": home, "COLUMNS": "80", "TERM": "dumb"}
        for now, said in SEASON:
            ran = subprocess.run(
                [*CALL, now], input="\n".join(said) + "\n", env=env, text=True,
                capture_output=True, check=True,
            )  # fmt: skip
            parts.append(ran.stdout.strip())
    return "```text\n" + "\n\n".join(parts) + "\n```"


def validation() -> str:
    """The table that `tests/science/validate.py` prints."""
    ran = subprocess.run(
        [sys.executable, str(ROOT / "tests/science/validate.py")],
        text=True, capture_output=True, check=True,
    )  # fmt: skip
    return ran.stdout.strip()


PARTS = {"sessions": sessions, "validation": validation}


def between(text: str, name: str) -> str:
    """What stands between the two marks of a part."""
    found = re.search(rf"<!-- begin {name} -->\n(.*?)\n<!-- end {name} -->", text, re.DOTALL)
    if found is None:
        raise ValueError(f"README.md has no marks for {name}")
    return found[1]


def main() -> None:
    """Replace every part."""
    text = README.read_text(encoding="utf-8")
    for name, make in PARTS.items():
        head = f"<!-- begin {name} -->\n"
        text = text.replace(head + between(text, name), head + make())
    README.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
