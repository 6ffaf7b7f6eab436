"""The shape of one throw as an elastic solid, from mid main to mid main.

Half a journal, a web, the pin, a web, half a journal: slabs of one outline each along the shaft,
sharp where they meet. A web's outline is the hull of a disc about the main and one about the
pin, as of `web_outline`; bores run through journal and pin and stop at the webs, as in the
shaft's mass. Fillets, counterweights, oil holes and web lightening are left out.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ThrowShape:
    """Sizes of a throw [m], or over the crank radius with that at 1."""

    main_diameter: float
    pin_diameter: float
    web_thickness: float
    main_width: float  # of the web's round end about the main
    pin_width: float  # about the pin
    journal_length: float  # between webs, of which a throw has half at each end
    pin_length: float
    journal_bore: float = 0.0
    pin_bore: float = 0.0
    crank_radius: float = 1.0

    def over_radius(self) -> "ThrowShape":
        """Return the same throw with all sizes over its crank radius."""
        return ThrowShape(*(getattr(self, name) / self.crank_radius for name in SIZES))

    @property
    def half_length(self) -> float:
        """From the middle of the pin to that of a main."""
        return (self.pin_length + self.journal_length) / 2 + self.web_thickness

    @property
    def overlap(self) -> float:
        """Of journal and pin as seen along the shaft; below 0 is a gap."""
        return (self.main_diameter + self.pin_diameter) / 2 - self.crank_radius


SIZES = tuple(name for name in ThrowShape.__slots__ if name != "crank_radius")
