"""What the checker computed of a stack as built, beside what was measured of it."""
