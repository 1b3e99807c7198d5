"""Where the program's own data and the person's home are."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

from stillroom.base.problem import Problem, ProblemError


@cache
def data_root() -> Path:
    """The folder that holds ``rules/`` and ``knowledge/``: inside the wheel, or the checkout.

    Raises:
        ProblemError: neither place has them (a broken installation).
    """
    package = Path(__file__).resolve().parent.parent
    for root in (package / "_data", package.parent.parent):
        if (root / "knowledge").is_dir() and (root / "rules").is_dir():
            return root
    raise ProblemError(
        Problem(
            name="no-data",
            text="The rules and knowledge that belong to stillroom are not beside it.",
            remedy="Install it again: python -m pip install --force-reinstall stillroom.",
        ),
        exit_status=3,
    )


def knowledge_dir() -> Path:
    """The folder of the knowledge tables."""
    return data_root() / "knowledge"


def rules_dir() -> Path:
    """The folder of the rule packs that ship with the program."""
    return data_root() / "rules"


def home_dir(chosen: str | None = None) -> Path:
    """The person's home for journal and settings: chosen, or $STILLROOM_HOME, or the platform's."""
    named = chosen or os.environ.get("STILLROOM_HOME")
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_path

    return user_data_path("stillroom", appauthor=False)


def cache_dir() -> Path:
    """The platform's cache folder; what is in it can be deleted at any time."""
    from platformdirs import user_cache_path

    return user_cache_path("stillroom", appauthor=False)
