"""The command line's grammar: every call, option and help line. Parsing only."""

from __future__ import annotations

import argparse
import sys
from typing import NoReturn

from stillroom.base.problem import EXIT_WRONG_CALL
from stillroom.talk.manual import ABOUT, TOP, Manual


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
    group.add_argument(
        "--plain", action="store_true", default=False if top else argparse.SUPPRESS,
        help="no colour, toolbar or menus, and nothing written over, as screen readers like it",
    )  # fmt: skip


def _add(
    commands: argparse._SubParsersAction[Parser], name: str, help_line: str, *, under: str = ""
) -> Parser:
    """A command or action with its help."""
    above, below = ABOUT[f"{under} {name}".strip()]
    return commands.add_parser(
        name, help=help_line, description=above, epilog=below or None, formatter_class=Manual
    )


def _tell(commands: argparse._SubParsersAction[Parser]) -> None:
    tell = _add(commands, "tell", "read one note, keep it, print the answer")
    tell.add_argument("note", nargs="*", metavar="NOTE",
                      help="the note; a single dash reads standard input")  # fmt: skip
    tell.add_argument("--file", metavar="F", help="read the note or transcript from this file")
    tell.add_argument("--dry-run", action="store_true", help="answer, but keep nothing")
    tell.add_argument("--json", action="store_true", help="print one JSON object instead of words")
    tell.add_argument("--more", action="store_true", help="print every detail of the answer")
    _common(tell, top=False)


def _journal(commands: argparse._SubParsersAction[Parser]) -> None:
    journal = _add(commands, "journal", "show, check or exchange what is kept")
    journal.add_argument("--json", action="store_true", help="print one JSON object")
    _common(journal, top=False)
    actions = journal.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    for name, help_line, file_help in (
        ("export", "write every event to F as JSON Lines", "the file to write"),
        ("import", "add the events of F that are not here yet; nothing is overwritten",
         "the file to read, as `journal export` wrote it"),
        ("verify", "check every event against its seal and find damage", ""),
        ("stock", "write the stock as CSV to F, for a spreadsheet", "the file to write"),
        ("history", "write the batches as CSV to F, for a spreadsheet", "the file to write"),
        ("calendar", "write what is due as iCalendar to F", "the file to write, such as due.ics"),
        ("labels", "write labels for the stock as PDF to F", "the file to write, such as l.pdf"),
        ("reread", "read every kept note again and show what would change", ""),
    ):  # fmt: skip
        action = _add(actions, name, help_line, under="journal")
        if file_help:
            action.add_argument("path", metavar="F", help=file_help)
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
    rules = _add(commands, "rules", "check, list, show or trace rules")
    actions = rules.add_subparsers(dest="action", metavar="ACTION", parser_class=Parser)
    check = _add(actions, "check", "check rule packs and run their examples", under="rules")
    check.add_argument("paths", nargs="*", metavar="PATH",
                       help="a pack or a folder of packs")  # fmt: skip
    listing = _add(actions, "list", "list the rules that are loaded", under="rules")
    show = _add(actions, "show", "show one rule with its sources and facts", under="rules")
    show.add_argument("id", metavar="ID", help="the rule's id, such as surface.solid-wet")
    trace = _add(actions, "trace", "show each rule that fires on a note, in order", under="rules")
    trace.add_argument("note", nargs="+", metavar="NOTE", help="the note")
    schema = _add(actions, "schema", "print the JSON Schema of a rule pack", under="rules")
    for action in (check, listing, show, trace, schema):
        _common(action, top=False)


def _others(commands: argparse._SubParsersAction[Parser]) -> None:
    plot = _add(commands, "plot", "draw a batch's drying curve to a PNG, SVG or text file")
    plot.add_argument("batch", metavar="BATCH", help="the batch, such as tomato-1")
    plot.add_argument("path", metavar="F", help="file to write: .png, .svg or .txt")
    _common(plot, top=False)
    shell = _add(commands, "completion", "print completion for a shell")
    shell.add_argument("shell", choices=("bash", "zsh", "tcsh"), help="the shell")
    _common(shell, top=False)


def build_parser() -> Parser:
    """The whole grammar of the command line."""
    parser = Parser(
        prog="stillroom",
        description="A kitchen assistant for the home food preserver: drying, powders, dry "
        "mixes and refrigerator pickles, from the weighing-in to the jar in use.",
        epilog=TOP,
        formatter_class=Manual,
    )
    parser.add_argument("--version", action="store_true", help="print the version and engine")
    _common(parser, top=True)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=Parser)
    _tell(commands)
    _journal(commands)
    _rules(commands)
    _others(commands)
    return parser
