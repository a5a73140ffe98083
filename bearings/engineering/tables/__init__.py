"""Published values, one subject a file; the source stands beside every table."""
