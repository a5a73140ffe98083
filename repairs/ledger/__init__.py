"""What happened, by whom, on which device: written once, never changed."""
