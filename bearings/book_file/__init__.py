"""Ratings of a source as a file that a spreadsheet reads and writes: read, checked, taken in, written."""
