"""Screens for the shop tablet."""
