"""Kinematics of the slider-crank, masses, gas pressure and their loads."""
