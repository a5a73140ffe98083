"""Pages for the customer, behind a private link."""
