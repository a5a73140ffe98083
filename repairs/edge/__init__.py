"""The edge: what a request may carry before any view sees it, and what is answered while the machine is in trouble."""
