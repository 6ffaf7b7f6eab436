"""Two designs beside one another."""
