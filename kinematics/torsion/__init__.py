"""Torsional vibration: chains of inertias, dampers, cyclic irregularity."""
