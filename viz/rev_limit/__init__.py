"""The rev limit in plain sentences."""
