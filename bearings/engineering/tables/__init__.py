"""Published values, with their source beside them."""
