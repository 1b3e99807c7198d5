"""Reading data files that people edit: CSV with line numbers, faults as problems."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from pathlib import Path

from stillroom.base.problem import Problem, ProblemError


class Row(dict[str, str]):
    """One row of a CSV table, with the file and line it stands in."""

    file: str
    line: int

    def problem(self, name: str, text: str, remedy: str = "") -> Problem:
        """A problem that points at this row."""
        return Problem(self.file, self.line, 0, name, text, remedy)


def _rows(path: Path, columns: Iterable[str]) -> Iterator[Row]:
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise ProblemError(
            Problem(str(path), 0, 0, "unreadable", f"This table cannot be read: {error}."),
            exit_status=3,
        ) from error
    reader = csv.reader(text.splitlines(keepends=True), strict=True)
    try:
        head = next(reader, [])
        missing = [column for column in columns if column not in head]
        if missing:
            raise ProblemError(
                Problem(
                    str(path), 1, 0, "missing-column",
                    f"The heading lacks {', '.join(missing)}.",
                    f"Expected columns: {', '.join(columns)}.",
                ),
                exit_status=3,
            )  # fmt: skip
        line = reader.line_num + 1
        for cells in reader:
            here, line = line, reader.line_num + 1
            if not cells:
                continue
            if len(cells) != len(head):
                raise ProblemError(
                    Problem(
                        str(path), here, 0, "cell-count",
                        f"This row has {len(cells)} cells; the heading has {len(head)}.",
                        "Put quotes round a cell that holds a comma.",
                    ),
                    exit_status=3,
                )  # fmt: skip
            row = Row(zip(head, (cell.strip() for cell in cells), strict=True))
            row.file, row.line = str(path), here
            yield row
    except csv.Error as error:
        raise ProblemError(
            Problem(str(path), reader.line_num, 0, "bad-csv", f"Not a CSV row: {error}."),
            exit_status=3,
        ) from error


def read_csv(path: Path, columns: Iterable[str] = ()) -> list[Row]:
    """The rows of a CSV file whose heading must hold ``columns``.

    Args:
        path: the file, UTF-8 with a heading row.
        columns: the columns that must be there; more are allowed.

    Returns:
        The rows in order, each with ``file`` and ``line``.

    Raises:
        ProblemError: the file cannot be read, lacks a column, or a row has the wrong cell count.
    """
    return list(_rows(path, tuple(columns)))
