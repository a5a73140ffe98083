"""Damage found on parts: kept, corrected, shown."""
