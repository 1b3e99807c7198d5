"""stillroom: a kitchen assistant for the home food preserver."""

__version__ = "0.1.0"
