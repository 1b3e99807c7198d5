"""Typed rows of ``knowledge/`` and their checks; see ``stillroom.tables.tables`` for the way in."""
