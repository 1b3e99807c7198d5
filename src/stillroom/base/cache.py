"""What was parsed and worked out before, kept as JSON in the platform's cache folder.

An entry is found by a digest of all that it was made from: the program, and the text of the table
or pack. It is a shortcut and nothing else: whatever is missing, damaged or in the way is
made anew without a word, and the folder can be deleted at any time.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from functools import cache
from pathlib import Path
from typing import Any

from stillroom import __version__
from stillroom.base.paths import cache_dir

MAX_ENTRIES = 400
_MAKERS = ("base", "tables", "advice")


@cache
def _program() -> str:
    """The version, and the size and time of each file that makes entries: what the code was."""
    files = []
    for package in _MAKERS:
        with os.scandir(Path(__file__).parents[1] / package) as listed:
            files += sorted(
                (item.name, item.stat().st_size, item.stat().st_mtime_ns)
                for item in listed
                if item.name.endswith(".py")
            )
    return repr((__version__, files))


def digest(*parts: str | bytes) -> str:
    """A name for something made from these parts by this program.

    >>> digest("a", "bc") == digest("ab", "c")
    False
    """
    made = hashlib.sha256(_program().encode())
    for part in parts:
        raw = part if isinstance(part, bytes) else part.encode("utf-8", "surrogatepass")
        made.update(b"%d:" % len(raw))
        made.update(raw)
    return made.hexdigest()


def _file(key: str) -> Path:
    return cache_dir() / "rules" / f"{key}.json"


def fetch(key: str) -> Any:
    """What was kept under a key; None when there is nothing whole and sound."""
    try:
        raw = _file(key).read_bytes()
    except OSError:
        return None
    check, _, body = raw.partition(b"\n")
    if hashlib.sha256(body).hexdigest().encode() != check:
        return None
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        return None


def age(key: str) -> float:
    """Seconds since something was kept under a key; endless when nothing was."""
    try:
        return time.time() - _file(key).stat().st_mtime
    except OSError:
        return float("inf")


def keep(key: str, data: Any) -> None:
    """Keep something under a key; where that cannot be done, nothing happens."""
    try:
        file = _file(key)
        body = json.dumps(data, separators=(",", ":")).encode()
        part = file.with_name(f"{key}.{os.getpid()}.part")
        file.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)
        part.replace(file)
        _tidy(file.parent)
    except (OSError, ValueError, TypeError):
        return


def _tidy(folder: Path) -> None:
    """Take out the oldest entries when there are too many."""
    with os.scandir(folder) as listed:
        found = [(item.stat().st_mtime_ns, item.path) for item in listed]
    if len(found) > MAX_ENTRIES:
        for _, path in sorted(found)[: len(found) - MAX_ENTRIES * 3 // 4]:
            Path(path).unlink(missing_ok=True)
