"""Who works here, in which role, and what each role may do."""
