"""Help page and about box."""
