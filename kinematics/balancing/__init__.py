"""Balancing the shaft: unbalance, tolerances, drilled holes, bob weights."""
