"""Screens for the front office and the engineer."""
