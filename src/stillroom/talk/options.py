"""The command line's grammar: every call, option and help line. Parsing only."""

from __future__ import annotations

import argparse
import sys
from typing import NoReturn

from stillroom.base.problem import EXIT_WRONG_CALL

_EPILOG = """\
Without a command stillroom opens the conversation. Just say what you have or what you want to
know: "6 kg courgettes, shredded, drained", "what needs doing today?", "scratch that", "why?".

Exit status: 0 answered; 1 something must be stopped (a stop caution was raised); 2 the call was
wrong; 3 the journal or a rule pack is damaged.

stillroom gives the usual cautions and names its sources. It does not replace local rules or
licensed practice, and it never gives a process for canning.
"""


class Parser(argparse.ArgumentParser):
    """argparse with our one-sentence errors."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the call and where help is, then leave with status 2."""
        sys.stderr.write(f"stillroom: {message}. See `{self.prog} --help`.\n")
        sys.exit(EXIT_WRONG_CALL)


def _common(parser: argparse.ArgumentParser, *, top: bool) -> None:
    """Options that may stand before or after the command."""
    missing = None if top else argparse.SUPPRESS
    group = parser.add_argument_group("options on every call")
    group.add_argument(
        "--home", metavar="DIR", default=missing,
        help="folder of the journal (default: $STILLROOM_HOME, else the platform's data folder)",
    )  # fmt: skip
    group.add_argument(
        "--rules", metavar="DIR", action="append", dest="packs",
        default=missing, help="also load the rule packs in DIR; may be given several times",
    )  # fmt: skip
    group.add_argument(
        "--now", metavar="ISO-DATETIME", default=missing,
        help="take this moment as the present, such as 2026-08-14T09:00:00",
    )  # fmt: skip
    group.add_argument(
        "--measure", choices=("us", "metric"), default=missing,
        help="measure to show figures in, and what a cup and a spoon are",
    )  # fmt: skip


def _tell(commands: argparse._SubParsersAction[Parser]) -> None:
    tell = commands.add_parser(
        "tell", help="read one note, keep it, print the answer",
        description="Read one note, keep it in the journal, and print the answer. "
        "A pasted transcript comes from a file, or from standard input with a dash.",
    )  # fmt: skip
    tell.add_argument("note", nargs="*", help="the note; a single dash reads standard input")
    tell.add_argument("--file", metavar="F", help="read the note or transcript from this file")
    tell.add_argument("--dry-run", action="store_true", help="answer, but keep nothing")
    tell.add_argument("--json", action="store_true", help="print one JSON object instead of words")
    tell.add_argument("--more", action="store_true", help="print every detail of the answer")
    _common(tell, top=False)


def _journal(commands: argparse._SubParsersAction[Parser]) -> None:
    journal = commands.add_parser(
        "journal", help="show, check or exchange what is kept",
        description="Show what is kept: batches, stock, what is due. "
        "With an action, check the journal or write it out.",
    )  # fmt: skip
    journal.add_argument("--json", action="store_true", help="print one JSON object")
    _common(journal, top=False)
    actions = journal.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    for name, help_line, wants_file in (
        ("export", "write every event to F as JSON Lines", True),
        ("import", "add the events of F that are not here yet; nothing is overwritten", True),
        ("verify", "check every event against its seal and find damage", False),
        ("stock", "write the stock as CSV to F, for a spreadsheet", True),
        ("history", "write the batches as CSV to F, for a spreadsheet", True),
        ("calendar", "write what is due as iCalendar to F", True),
        ("labels", "write labels for the stock as PDF to F", True),
        ("reread", "read every kept note again and show what would change", False),
    ):
        action = actions.add_parser(name, help=help_line, description=help_line + ".")
        if wants_file:
            action.add_argument("path", metavar="F", help="the file")
        if name == "labels":
            action.add_argument(
                "--sheet", default="a4-3x8", metavar="NAME",
                help="sheet layout, such as a4-3x8, letter-3x10, lid-a4; `help` lists them",
            )  # fmt: skip
        if name == "reread":
            action.add_argument("--keep", action="store_true", help="take over the new reading")
        action.add_argument("--json", action="store_true", default=argparse.SUPPRESS,
                            help=argparse.SUPPRESS)  # fmt: skip
        _common(action, top=False)


def _rules(commands: argparse._SubParsersAction[Parser]) -> None:
    rules = commands.add_parser(
        "rules", help="check, list, show or trace rules",
        description="Work with rule packs: the files that decide what stillroom advises.",
    )  # fmt: skip
    actions = rules.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    check = actions.add_parser("check", help="check rule packs and run their examples")
    check.add_argument("paths", nargs="*", metavar="PATH", help="packs (default: those loaded)")
    listing = actions.add_parser("list", help="list the rules that are loaded")
    show = actions.add_parser("show", help="show one rule with its sources and facts")
    show.add_argument("id", metavar="ID", help="the rule's id, such as surface.loose-wet")
    trace = actions.add_parser("trace", help="show each rule that fires on a note, in order")
    trace.add_argument("note", nargs="+", metavar="NOTE", help="the note")
    schema = actions.add_parser("schema", help="print the JSON Schema of a rule pack")
    for action in (check, listing, show, trace, schema):
        _common(action, top=False)


def _others(commands: argparse._SubParsersAction[Parser]) -> None:
    plot = commands.add_parser("plot", help="draw a batch's drying curve to a PNG or SVG file")
    plot.add_argument("batch", metavar="BATCH", help="the batch, such as tomato-1")
    plot.add_argument("path", metavar="F", help="file to write; .png or .svg")
    _common(plot, top=False)
    shell = commands.add_parser("completion", help="print completion for a shell")
    shell.add_argument("shell", choices=("bash", "zsh", "tcsh"), help="the shell")
    _common(shell, top=False)


def build_parser() -> Parser:
    """The whole grammar of the command line."""
    parser = Parser(
        prog="stillroom",
        description="A kitchen assistant for the home food preserver: drying, powders, dry "
        "mixes and refrigerator pickles, from the weighing-in to the jar in use.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="store_true", help="print the version and engine")
    parser.add_argument(
        "--plain", action="store_true", help="conversation without colour, toolbar or menus"
    )
    _common(parser, top=True)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    _tell(commands)
    _journal(commands)
    _rules(commands)
    _others(commands)
    return parser
