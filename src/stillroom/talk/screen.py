"""Lines of an answer set for a screen: wrapped, aligned, marked in words and only then in colour.

Narrow screens (a phone) run the text on after its label; wide ones set labels in a column.
Plain mode and pipes get the same words without colour, so nothing is said by colour alone.
"""

from __future__ import annotations

import os
import re
import shutil
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, TextIO

from stillroom.talk.lines import Line

if TYPE_CHECKING:
    from stillroom.outputs.plots import DryingCurve

NARROW = 60
WIDEST = 96
_LABEL_WIDTH = 19
_HELD = "\N{NO-BREAK SPACE}"  # holds a figure and its unit on one row, then becomes a space
_UNIT = re.compile(r"(\d) (?=(?:°C|°F|g|kg|ml|l|lb|oz|cups?|qt|h|min|days?|months?|mm|in|%)\b)")
_PREFIX = {
    "stop": "STOP. ", "caution": "Take care. ", "note": "Note. ", "echo": "Read: ", "kept": "",
    "unread": "", "heard": "> ", "guess": "", "odd": "Note. ", "question": "? ",
    "hint": "", "reply": "", "detail": "  ", "source": "",
}  # fmt: skip
STYLES = {
    "stop": "bold fg:ansired", "caution": "bold", "head": "bold underline",
    "reply": "bold", "question": "bold fg:ansimagenta", "unread": "italic",
    "heard": "italic",
}  # fmt: skip


def screen_width(stream: TextIO | None = None) -> int:
    """Columns to set for: the terminal's, or 80 where there is none."""
    if stream is not None and not stream.isatty() and "COLUMNS" not in os.environ:
        return 80
    return max(20, shutil.get_terminal_size((80, 24)).columns)


def _wrap(text: str, width: int, first: str, rest: str) -> list[str]:
    rows = textwrap.wrap(
        _UNIT.sub(f"\\1{_HELD}", text), width, initial_indent=first, subsequent_indent=rest,
        break_long_words=True, break_on_hyphens=False,
    )  # fmt: skip
    return [row.replace(_HELD, " ") for row in rows] or [first.rstrip()]


def _marks(line: Line) -> str:
    return "" if not line.marks else " " + "".join(f"[{mark}]" for mark in line.marks)


def set_line(line: Line, width: int) -> list[str]:
    """One line of an answer as screen rows of at most ``width`` columns."""
    text = line.text + _marks(line)
    if line.curve is not None:
        return _drawn(line.curve, width)
    if line.role == "head":
        return _wrap(line.text, width, "", "")
    if line.role in ("figure", "ruling"):
        return _labelled(line.label, text, width)
    if line.role == "source":
        return _wrap(text, width, f"{line.label} ", "    ")
    prefix = _PREFIX[line.role]
    return _wrap(text, width, prefix, " " * min(len(prefix), 6))


def _drawn(curve: DryingCurve, width: int) -> list[str]:
    """A drying curve as rows; its key and note wrapped like other text."""
    from stillroom.outputs.plots import curve_text

    height = 20 if width >= NARROW else 15
    rows = curve_text(curve, width, height).splitlines()
    return [part for row in rows for part in (_wrap(row, width, "", "") if len(row) > width
                                              else [row])]  # fmt: skip


def _labelled(label: str, text: str, width: int) -> list[str]:
    if width >= NARROW:
        return _wrap(text, width, f"{label:<{_LABEL_WIDTH}}", " " * _LABEL_WIDTH)
    return _wrap(text, width, f"{label}: " if label else "  ", "  ")


def set_lines(lines: Sequence[Line], width: int) -> list[tuple[str, str]]:
    """Screen rows as (role, text), a blank row between parts of different kinds."""
    width = min(width, WIDEST)
    rows: list[tuple[str, str]] = []
    before = ""
    for line in lines:
        part = _PART.get(line.role, line.role)
        if before and (part != before or line.role == "head"):
            rows.append(("", ""))
        rows += [(line.role, row) for row in set_line(line, width)]
        before = "" if line.role == "heard" else part  # an answer stands close to its note
    return rows


_PART = {"figure": "batch", "ruling": "batch", "head": "batch", "detail": "reply",
         "unread": "echo", "kept": "echo", "guess": "echo", "odd": "echo",
         "hint": "end", "source": "end", "caution": "care", "note": "care"}  # fmt: skip


def plain_text(lines: Sequence[Line], width: int) -> str:
    """The answer as text without colour."""
    return "\n".join(text.rstrip() for _, text in set_lines(lines, width))


def write(lines: Sequence[Line], stream: TextIO, *, colour: bool | None = None) -> None:
    """Print an answer; colour only on a terminal that can and where NO_COLOR is not set."""
    width = screen_width(stream)
    if colour is None:
        colour = wants_colour(stream)
    if not colour:
        stream.write(plain_text(lines, width) + "\n")
        return
    from prompt_toolkit import print_formatted_text
    from prompt_toolkit.formatted_text import FormattedText

    for role, text in set_lines(lines, width):
        print_formatted_text(FormattedText([(STYLES.get(role, ""), text)]), file=stream)


def wants_colour(stream: TextIO) -> bool:
    """Whether colour may be used on this stream."""
    if os.environ.get("NO_COLOR") or os.environ.get("TERM", "dumb") in ("dumb", ""):
        return False
    return stream.isatty()
