"""What a cook is told where the program itself is at fault."""

from __future__ import annotations

import os

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
