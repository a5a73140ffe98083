"""Entries of two tablets against a server that is killed, on lines that are cut: each counts once, in its order."""
