"""The text of a pack file, within bounds."""

from __future__ import annotations

from pathlib import Path

from stillroom.base.problem import Problem

MAX_BYTES = 4_000_000


def read_text(path: Path) -> tuple[str | None, list[Problem]]:
    """The text of a pack file, or the problem with it."""
    try:
        if path.stat().st_size > MAX_BYTES:
            return None, [Problem(str(path), 0, 0, "too-big", "The file is too large for a pack.",
                                  f"Keep it under {MAX_BYTES:,} bytes.")]  # fmt: skip
        return path.read_bytes().decode("utf-8-sig"), []
    except UnicodeDecodeError as error:
        return None, [Problem(str(path), 0, 0, "not-utf-8", f"Byte {error.start} is not UTF-8.",
                              "Save the file as UTF-8 text.")]  # fmt: skip
    except OSError as error:
        return None, [Problem(str(path), 0, 0, "unreadable",
                              f"The file cannot be read: {error.strerror}.")]  # fmt: skip
