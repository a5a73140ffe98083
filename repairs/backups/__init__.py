"""Backups of a shop: made while it works, checked, restored into an empty folder."""
