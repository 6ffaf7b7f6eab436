"""Engine layouts with even firing by name: throws, banks and firing order of a new design.

One cylinder on each throw; angles as in a design file. Reference: J. P. Den Hartog, Mechanical
Vibrations, 4th ed., chapter 5, for the crank stars; firing orders are common practice, no source.
`firing_angles` checks that each fires evenly.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EngineLayout:
    """Angles [deg] of throws and banks by cylinder from the front, and the firing order."""

    throw_angles: tuple[float, ...]
    bank_angles: tuple[float, ...]
    firing_order: tuple[int, ...]

    @property
    def in_line(self) -> bool:
        """Whether all cylinders stand in one bank."""
        return len(set(self.bank_angles)) == 1

    @property
    def is_flat(self) -> bool:
        """Whether two banks lie opposite one another."""
        return max(self.bank_angles) - min(self.bank_angles) == 180


def _in_line(throw_angles: tuple[float, ...], firing_order: tuple[int, ...]) -> EngineLayout:
    return EngineLayout(throw_angles, (0.0,) * len(throw_angles), firing_order)


LAYOUTS = {
    "in-line six, 120°": _in_line((0, 240, 120, 120, 240, 0), (1, 5, 3, 6, 2, 4)),
    "V6 60°, six throws": EngineLayout(
        (0, 300, 120, 60, 240, 180), (-30, 30, -30, 30, -30, 30), (1, 2, 3, 4, 5, 6)
    ),
    "flat six, six throws": EngineLayout(
        (0, 180, 240, 60, 120, 300), (-90, 90, -90, 90, -90, 90), (1, 4, 5, 2, 3, 6)
    ),
    "in-line five, 72°": _in_line((0, 216, 144, 72, 288), (1, 2, 4, 5, 3)),
    "in-line four, flat": _in_line((0, 180, 180, 0), (1, 3, 4, 2)),
    "in-line three, 120°": _in_line((0, 240, 120), (1, 3, 2)),
}
