"""Shop tests in words: one file a test."""
