"""Reading the cells of a knowledge table: numbers, spans and lists, each fault with its place.

A span is written ``4-6``, or ``4-6-8`` for low, likely and high; one number stands for itself.
A list is written ``sliced|diced``. Source ids are separated by semicolons.
"""

from __future__ import annotations

from collections.abc import Iterable

from stillroom.base.files import Row
from stillroom.base.problem import ProblemError

Span = tuple[float, float]


def bad_cell(row: Row, column: str, expected: str) -> ProblemError:
    """The error for a cell that does not hold what its column asks for."""
    return ProblemError(
        row.problem(
            "bad-cell",
            f"Column {column} holds {row.get(column, '')!r}.",
            f"Expected {expected}.",
        ),
        exit_status=3,
    )


def number(row: Row, column: str) -> float | None:
    """A number, or None for an empty cell.

    Raises:
        ProblemError: the cell is not a number.
    """
    text = row.get(column, "")
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        raise bad_cell(row, column, "a number such as 4.5, or nothing") from None


def numbers(row: Row, column: str, counts: Iterable[int]) -> tuple[float, ...] | None:
    """The numbers of a span, in rising order, or None for an empty cell.

    Args:
        row: the row.
        column: the column.
        counts: how many numbers the cell may hold.

    Raises:
        ProblemError: not numbers, the wrong count, or not in rising order.
    """
    text = row.get(column, "")
    if not text:
        return None
    allowed = tuple(counts)
    try:
        values = tuple(float(part) for part in text.split("-"))
    except ValueError:
        values = ()
    if len(values) not in allowed or list(values) != sorted(values):
        shapes = {1: "a number", 2: "low-high", 3: "low-likely-high"}
        raise bad_cell(
            row, column, f"{' or '.join(shapes[count] for count in allowed)}, low first, or nothing"
        )
    return values


def span(row: Row, column: str) -> Span | None:
    """Low and high, equal when one number is given; None for an empty cell."""
    values = numbers(row, column, (1, 2))
    return None if values is None else (values[0], values[-1])


def triple(row: Row, column: str) -> tuple[float, float, float] | None:
    """Low, likely and high, all equal when one number is given; None for an empty cell."""
    values = numbers(row, column, (1, 3))
    return None if values is None else (values[0], values[len(values) // 2], values[-1])


def items(row: Row, column: str, separator: str = "|") -> tuple[str, ...]:
    """The parts of a list cell, blanks dropped."""
    return tuple(part.strip() for part in row.get(column, "").split(separator) if part.strip())


def sources(row: Row, column: str = "source") -> tuple[str, ...]:
    """The source ids of a cell."""
    return items(row, column, ";")


def one_of(row: Row, column: str, allowed: tuple[str, ...]) -> str:
    """A word out of a fixed list, or an empty cell.

    Raises:
        ProblemError: another word.
    """
    text = row.get(column, "")
    if text and text not in allowed:
        raise bad_cell(row, column, f"one of {', '.join(allowed)}")
    return text
