"""Shop tests and their limits. Pure: no Django, no database, no clock."""
