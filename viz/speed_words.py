"""Speeds as people read them, in rpm."""

from kinematics.units import UNITS
from viz.number_words import format_whole


def rpm(speed: float) -> float:
    """Return a speed [rad/s] in rpm."""
    return UNITS["rpm"].from_si(speed)


def rpm_text(speed: float) -> str:
    """Return a speed [rad/s] in rpm, whole, with its unit."""
    return f"{format_whole(rpm(speed))} rpm"
