"""Tables of the command line."""
