"""Options and fixtures of the whole suite."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stillroom.advice.book import RuleBook
from stillroom.advice.check import rules_check
from stillroom.advice.packs import load_book
from stillroom.base.clock import parse_now
from stillroom.base.paths import rules_dir
from stillroom.base.problem import Problem
from stillroom.talk.example_facts import EXAMPLE_MOMENT, facts_at


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--accept", action="store_true",
        help="write the golden texts anew from what the program prints now; look at the diff",
    )  # fmt: skip


@pytest.fixture
def golden(request: pytest.FixtureRequest) -> Callable[[Path, str], None]:
    """Compares a text with the golden file; with --accept the file is written instead."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--accept"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        assert path.exists(), f"no golden text {path.name}; run pytest --accept once and look at it"
        assert text == path.read_text(encoding="utf-8")

    return compare


@pytest.fixture(scope="session")
def built_in_faults() -> list[Problem]:
    """What `stillroom rules check` finds in the built-in packs; run once for all tests."""
    return rules_check((), facts_at(parse_now(EXAMPLE_MOMENT)))


@pytest.fixture(scope="session")
def book() -> RuleBook:
    """The built-in rules; read once for all tests."""
    return load_book(built_in=rules_dir(), installed=False)
