"""A design over one cycle: cylinder pressure, loads, balance, speed."""
