"""Bearing engineering, bearing book, drawing and stored answers. Knows nothing of customers, jobs or people."""
