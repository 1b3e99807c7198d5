"""Records and small tools that every other package may use; imports nothing of stillroom."""
