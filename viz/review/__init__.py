"""A proposal held against its reference: what it changes, and which difference does what."""
