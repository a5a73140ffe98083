"""Jobs, routes, holds, stack records and the gates between steps."""
