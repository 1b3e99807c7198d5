"""What `--help` says beyond the options: descriptions, files, environment, status, examples."""

from __future__ import annotations

import argparse
import shutil
import textwrap

WIDEST = 84
NARROW = 60

FILES = """\
Files, in the home unless said otherwise:

  journal.sqlite3   every note and what became of it; `journal export` writes it as text
  said.txt          the lines typed in the conversation, for the arrow keys
  rules/*.yaml      rule packs of your own, used on every call

The home is --home DIR, else $STILLROOM_HOME, else the platform's data folder
(~/.local/share/stillroom on Linux). What was worked out before is kept in the platform's cache
folder (~/.cache/stillroom) and can be deleted at any time. Nothing is sent anywhere.
"""

ENVIRONMENT = """\
Environment:

  STILLROOM_HOME    the home when --home is not given
  STILLROOM_ENGINE  plain: run the rules on the plain chainer instead of durable-rules
  STILLROOM_DEBUG   1: show where in the program a fault of its own is
  NO_COLOR          anything: no colour
  TERM              dumb: plain lines, as with --plain
  COLUMNS           the width to set answers for, where it is not a terminal's
"""

STATUS = """\
Exit status:

  0   answered
  1   something must be stopped: a stop caution was raised
  2   the call was wrong, or was left off
  3   the journal or a rule pack is damaged, or `rules check` found faults
  70  a fault of the program's own; what was kept before is safe
"""

SAFETY = """\
stillroom gives the usual cautions and names its sources. It does not replace local rules or
licensed practice, and it never gives a process for canning.
"""

TOP = "\n".join(
    (
        """\
Without a command stillroom opens the conversation. Just say what you have or what you want to
know; "what can I say?" shows more, Tab completes, Ctrl-D leaves and keeps what was said.

Examples:

  stillroom
  stillroom tell "6 kg courgettes, shredded, drained"
  stillroom tell "what needs doing today?"
  stillroom --measure metric tell --file NOTES.txt --dry-run
  stillroom journal labels labels.pdf --sheet a4-3x8

`stillroom COMMAND --help` tells more of each command.
""",
        FILES, ENVIRONMENT, STATUS, SAFETY,
    )
)  # fmt: skip

# By command: what stands above the options, and what stands below them.
ABOUT: dict[str, tuple[str, str]] = {
    "tell": (
        "Read one note, keep it in the journal, and print the answer. A pasted transcript of many "
        "notes comes from a file, or from standard input with a dash; it is split into notes, and "
        "each is answered in turn.",
        """\
A note is plain speech: "2 kg plums, halved, pitted", "tray two weighs 840 g", "scratch that".
With --json one object is printed: statements, rulings, numbers, cautions, replies, question,
unread words, problems.

Examples:

  stillroom tell "10 lb tomatoes, sliced 1/4 inch, 5 mesh trays, 135F"
  stillroom tell --file evening.txt --dry-run
  stillroom tell - < evening.txt
  stillroom tell --json "2 kg beets, cooked, diced"

"""
        + STATUS,
    ),
    "journal": (
        "Show what is kept: what is due, the batches, the stock. With an action: check the "
        "journal, write it out, or take one in.",
        """\
Examples:

  stillroom journal
  stillroom journal verify
  stillroom journal export season.jsonl
  stillroom journal labels labels.pdf --sheet letter-3x10
  stillroom journal calendar due.ics

"""
        + STATUS,
    ),
    "journal export": (
        "Write every event of the journal to F as JSON Lines: an open form that any text tool "
        "reads, with the seal of each event, and that `journal import` takes in.",
        "",
    ),
    "journal import": (
        "Add the events of F, written by `journal export`, that are not here yet. Nothing is ever "
        "overwritten; a second import of the same file adds nothing.",
        "",
    ),
    "journal verify": (
        "Check every event against its seal. Damage is named with its place on standard error, "
        "and the exit status is 3.",
        "",
    ),
    "journal stock": ("Write the stock as CSV to F, one row a vessel, for a spreadsheet.", ""),
    "journal history": ("Write the batches as CSV to F, one row a batch, for a spreadsheet.", ""),
    "journal calendar": (
        "Write what is due in the next sixty days to F as iCalendar, for the calendar of your "
        "phone or computer. Import the file again to bring it up to date.",
        "",
    ),
    "journal labels": (
        "Write labels for what is in stock to F as PDF: food, form, weight, dates, what may be in "
        "it. Print at full size, without fitting to the page.",
        """\
Examples:

  stillroom journal labels labels.pdf
  stillroom journal labels lids.pdf --sheet lid-a4
""",
    ),
    "journal reread": (
        "Read every kept note again with the present reader and show what would change. Nothing "
        'is changed without --keep, and "scratch that" takes even that back.',
        "",
    ),
    "rules": (
        "Work with rule packs: the files that decide what stillroom advises. Packs come from the "
        "program, from installed packages, from rules/ in the home, and from --rules; later ones "
        "stand on top. How to write one: DEVELOPERS.md and rules/README.md.",
        """\
Examples:

  stillroom rules check my-pack.yaml
  stillroom rules show surface.solid-wet
  stillroom rules trace "2 kg courgettes, shredded"
  stillroom rules schema > pack.schema.json

"""
        + STATUS,
    ),
    "rules check": (
        "Check rule packs and run the example notes of every rule. Each fault is printed as "
        "FILE:LINE:COLUMN with what was expected. Without a PATH your own packs are checked, "
        "those in rules/ of the home and of --rules, and where there are none the program's.",
        "Exit status: 0 no fault; 3 faults were found.",
    ),
    "rules list": (
        "List the packs that are loaded in order of precedence, their rules, and which rules are "
        "switched off, replaced or overridden by which.",
        "",
    ),
    "rules show": (
        "Show one rule: where it stands, its conditions, what it says, its sources, and the rules "
        "that feed it.",
        "",
    ),
    "rules trace": (
        "Show each rule that fires on a note, in order, with the facts that made it fire and the "
        "facts that it added. Nothing is kept.",
        "",
    ),
    "rules schema": (
        "Print the JSON Schema of a rule pack, so that an editor completes and checks packs.",
        "",
    ),
    "plot": (
        "Draw the drying curve of a batch: its weighings, the course expected with its range, "
        "where it should end, the switch times and the looks told of.",
        """\
Examples:

  stillroom plot tomato-1 tomato.png
  stillroom plot tomato-1 tomato.txt
""",
    ),
    "completion": (
        "Print a script that completes commands, options and file names in your shell.",
        """\
Examples:

  stillroom completion bash > ~/.local/share/bash-completion/completions/stillroom
  stillroom completion zsh > ~/.zfunc/_stillroom        (with ~/.zfunc in fpath)
""",
    ),
}


class Manual(argparse.HelpFormatter):
    """Paragraphs are wrapped to the terminal; rows that are set in stay as they are."""

    def __init__(self, prog: str) -> None:
        width = min(WIDEST, max(30, shutil.get_terminal_size((80, 24)).columns) - 2)
        super().__init__(prog, max_help_position=26, width=width)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        parts = []
        for part in text.strip("\n").split("\n\n"):
            rows = part.splitlines()
            if any(row.startswith("  ") for row in rows):
                parts.append("\n".join(_set_in(row, width) for row in rows))
            else:
                parts.append(textwrap.fill(" ".join(part.split()), width))
        return "\n\n".join(parts)


def _set_in(row: str, width: int) -> str:
    """A row of a list: its first word in a column, the rest beside it; a call is left whole."""
    name, _, rest = row.strip().partition("  ")
    if len(row) <= width or not rest:
        return row
    column = row.index(rest.strip())
    if width < NARROW:
        head, column = f"  {name}  ", 6
    else:
        head = row[:column]
    return textwrap.fill(rest.strip(), width, initial_indent=head, subsequent_indent=" " * column)
