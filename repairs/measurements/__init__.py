"""Readings and the limits they are judged against."""
