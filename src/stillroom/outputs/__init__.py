"""Things to take away from the journal: labels, a calendar, sheets for a spreadsheet, curves."""
