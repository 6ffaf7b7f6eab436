"""Stresses and safety of rods, bolts, pistons, pins and cranks, as pure formulas."""
