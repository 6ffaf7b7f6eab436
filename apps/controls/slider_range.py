"""A slider's ends about a design's own value, so that a pixel is a small step.

A slider that is declared from above zero goes a quarter of the value either way, within its
declared ends where the value lies between them. One that starts at zero or below keeps its ends:
none of it, or the other way, means something there. Angles, shares and temperatures keep theirs.
"""

import math

Slider = tuple[float, float, float]  # ends and step
REACH = 0.25  # of the value, to either side
STEPS = 200  # at least, from end to end: a slider is some 230 px long
KEPT_UNITS = ("deg", "percent", "degC")


class SliderRanges:
    """The value about which each slider of a page goes: it stays until a value lies beyond."""

    def __init__(self) -> None:
        self._centre: dict[str, float] = {}

    def of(self, key: str, declared: Slider, value: float) -> Slider:
        """Return the slider of a control whose value, in the slider's unit, is given."""
        for centre in (self._centre.get(key, value), value):
            self._centre[key] = centre
            low, high, step = slider_about(declared, centre)
            if low - step <= value <= high + step:
                break
        return low, high, step


def slider_about(declared: Slider, centre: float) -> Slider:
    """Return a slider's ends and step a quarter of a value to either side of it."""
    low, high, step = declared
    if low <= 0 or centre <= 0:
        return declared
    near, far = centre * (1 - REACH), centre * (1 + REACH)
    if low <= centre <= high:
        near, far = max(near, low), min(far, high)
    fine = min(step, nice_below((far - near) / STEPS))
    ends = math.floor(near / fine + 1e-9) * fine, math.ceil(far / fine - 1e-9) * fine
    return float(f"{ends[0]:.9g}"), float(f"{ends[1]:.9g}"), fine


def nice_below(size: float) -> float:
    """Return the largest of 1, 2 and 5 times a power of ten that is not above a size."""
    power = math.floor(math.log10(size))
    digit = max(step for step in (1, 2, 5) if step <= size / 10.0**power * (1 + 1e-9))
    return float(f"{digit}e{power}")
