"""How far long work has come, on standard error: a counter on a terminal, nothing in a pipe.

The counter stands on one row that is wiped at the end, and appears only once the work has taken a
moment. Where rows cannot be written over (a dumb terminal) or should not be (a screen reader, plain
mode), one line of words says what is being done.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from types import TracebackType
from typing import Self, TextIO, TypeVar

from stillroom.talk.screen import screen_width

DELAY_S = 0.8
EVERY_S = 0.1
_WIPE = "\r\x1b[K"
T = TypeVar("T")


class Progress:
    """Shows how much of something is done; a context manager.

    Args:
        what: what is being done, as a heading: ``Reading notes``.
        plain: say it once in words and write nothing over.
        stream: standard error when None.
        clock: seconds, rising.
    """

    def __init__(
        self,
        what: str,
        *,
        plain: bool = False,
        stream: TextIO | None = None,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self.what = what
        self._stream = stream or sys.stderr
        self._clock = clock
        dumb = plain or os.environ.get("TERM", "dumb") in ("dumb", "")
        self._mode = ("words" if dumb else "counter") if self._stream.isatty() else "silent"
        self._next = clock() + DELAY_S
        self._shown = False

    def __call__(self, done: int, total: int = 0) -> None:
        """Say how many are done, and of how many where that is known."""
        now = self._clock()
        if self._mode == "silent" or now < self._next or done == total:
            return
        self._next = now + EVERY_S
        if self._mode == "words":
            if not self._shown:
                self._write(f"{self.what}; this takes a moment.\n")
        else:
            of = f" of {total:,} ({100 * done // total} %)" if total else ""
            text = f"{self.what}: {done:,}{of}"
            self._write(_WIPE + text[: screen_width(self._stream) - 1])
        self._shown = True

    def over(self, items: Iterable[T], total: int = 0) -> Iterator[T]:
        """The items one after another, each counted once it is done with."""
        for done, item in enumerate(items):
            self(done, total)
            yield item

    def _write(self, text: str) -> None:
        self._stream.write(text)
        self._stream.flush()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._shown and self._mode == "counter":
            self._write(_WIPE)
