"""Whether the parts of a design go together, and its data with one another."""
