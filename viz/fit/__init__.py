"""Whether parts go together, in words."""
