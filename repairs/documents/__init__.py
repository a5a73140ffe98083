"""Papers: job tag, traveler, stack card, repair report."""
