"""What a cook is told where the program itself is at fault, or a pack of rules is."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING

from stillroom.base.problem import EXIT_ANSWERED, EXIT_DAMAGED

if TYPE_CHECKING:
    from stillroom.talk.session import Session

EXIT_OWN_FAULT = 70
"""Exit status of a fault of our own, as sysexits.h has it (EX_SOFTWARE)."""


def fault_text(error: Exception) -> str:
    """One sentence for a fault of our own; empty where STILLROOM_DEBUG asks to see the fault."""
    if os.environ.get("STILLROOM_DEBUG"):
        return ""
    return (
        f"stillroom: a fault of its own ({type(error).__name__}: {error}). Your earlier notes "
        "are safe; set STILLROOM_DEBUG=1 to see where it is.\n"
    )


def tell_faults(session: Session) -> int:
    """Name on standard error the rules that did not load; the exit status that they stand for."""
    fresh = session.faults_to_tell()
    for problem in fresh:
        sys.stderr.write(f"stillroom: {problem}\n")
    if fresh:
        sys.stderr.write("stillroom: rules with a fault are left out; the rest is used.\n")
    return EXIT_DAMAGED if session.pack_faults else EXIT_ANSWERED
