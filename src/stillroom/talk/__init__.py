"""The conversation: session, wording, screen, command line. Calls every other package."""
