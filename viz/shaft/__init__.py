"""The shaft: bodies, balance, tables, pictures."""
