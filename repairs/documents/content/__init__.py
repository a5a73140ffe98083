"""What each paper says, as plain values: the digest of them is the paper's revision."""
