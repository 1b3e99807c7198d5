"""Stock and batch history as CSV for a spreadsheet (RFC 4180, UTF-8)."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from stillroom.base.problem import Problem, ProblemError

COLUMNS = {
    "stock": ("batch", "food", "form", "vessel", "vessel_ml", "count", "remaining_g", "place",
              "packed", "best_by"),
    "history": ("name", "food", "form", "stage", "fresh_g", "fresh_estimated", "dry_g", "loaded",
                "conditioning_day", "best_by"),
}  # fmt: skip
_PART = {"stock": "stock", "history": "batches"}


def write_sheet(path: Path, kind: str, view: Mapping[str, Any]) -> int:
    """Write one table of the journal as CSV.

    Args:
        path: file to write.
        kind: ``stock`` or ``history``.
        view: the journal's view (the object of `journal --json`).

    Returns:
        Rows written, the heading not counted.

    Raises:
        ProblemError: the file cannot be written.
    """
    rows = view[_PART[kind]]
    try:
        with path.open("w", encoding="utf-8", newline="") as stream:
            writer = csv.DictWriter(stream, COLUMNS[kind], extrasaction="ignore", restval="")
            writer.writeheader()
            writer.writerows(
                {name: _plain(row.get(name)) for name in COLUMNS[kind]} for row in rows
            )
    except OSError as error:
        raise cannot_write(path, error) from error
    return len(rows)


def _plain(value: object) -> object:
    """A cell that a spreadsheet takes for text: spoken words never run as a formula."""
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t", "\r")):
        return "'" + value
    return value


def cannot_write(path: Path, error: OSError) -> ProblemError:
    """The one sentence for a file that cannot be written."""
    return ProblemError(
        Problem(str(path), name="cannot-write", text=f"Cannot be written: {error.strerror}.",
                remedy="Choose another place.")
    )  # fmt: skip
