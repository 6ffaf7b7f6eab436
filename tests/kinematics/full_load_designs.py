"""Designs with a full-load curve, for tests."""

import dataclasses
import math

from kinematics import Design
from kinematics.design.design_full_load import FullLoadRow

RPM = math.pi / 30
ROWS = ((1500.0, 0.85, 0.8), (3000.0, 0.95, 0.95), (5000.0, 1.05, 1.0), (7000.0, 0.9, 0.9))


def with_curve(design: Design, rows: tuple[tuple[float, float, float], ...] = ROWS) -> Design:
    """Return a design with rows of (speed [rpm], peak and load as shares of the design's own)."""
    made = tuple(FullLoadRow(rpm * RPM, peak, load) for rpm, peak, load in rows)
    return dataclasses.replace(design, full_load=made)


def at_row(design: Design, peak: float, load: float) -> Design:
    """Return a design whose own peak and load are a row's, without a curve."""
    own = design.pressure
    assert own.peak is not None
    pressure = dataclasses.replace(own, peak=peak * own.peak, load=load * own.load)
    return dataclasses.replace(design, pressure=pressure, full_load=())
