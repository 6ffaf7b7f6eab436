"""What lessons plot and evaluate."""
