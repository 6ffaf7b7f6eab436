"""The design file: fields, bounds, checks, reading and writing."""
