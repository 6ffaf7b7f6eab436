"""Whether shells, webs and fillets have room along the shaft, and bores side by side.

Reference: sums of lengths, by definition.
"""

from collections import Counter
from dataclasses import dataclass

from kinematics.design.design import Design
from kinematics.design.shaft_throw import shaft_throw
from kinematics.fit.fit_check import (
    CLOSE,
    DOES_NOT_FIT,
    FITS,
    PURPOSE,
    SAME,
    FitCheck,
    FitQuestion,
    length,
    mm,
    within,
)
from kinematics.shaft.part_geometry import bore_pitch

WALL = 0.04  # least wall between two bores, over the bore

STACK = FitQuestion(
    "axial_stack", "Axial stack", "layout.throw_spacing_mm", "mm",
    "n·B_big end + 2·h + B_main ≤ a\nn rods a pin, h web thickness, a throw spacing",
    "sum of lengths")  # fmt: skip
PIN_SHELLS = FitQuestion(
    "pin_shells", "Big ends between fillets", "big_end.width_mm", "mm",
    "n·B + 2·R ≤ 2·web offset − h\nn rods a pin, R fillet radius, h web thickness",
    "sum of lengths")  # fmt: skip
MAIN_SHELLS = FitQuestion(
    "main_shells", "Main shell between fillets", "main_bearing.width_mm", "mm",
    "B + 2·R ≤ a − 2·web offset − h\na throw spacing, R fillet radius, h web thickness",
    "sum of lengths")  # fmt: skip
BORES = FitQuestion(
    "bores", "Wall between bores", "layout.throw_spacing_mm", "mm",
    "pitch of neighbours in a bank − bore ≥ 0.04·bore",
    "wall of 4 % of the bore: common practice, no source")  # fmt: skip


@dataclass(frozen=True, slots=True)
class FilletRoom:
    """The shells on a journal [m] and what its fillets leave of its length."""

    journal: str
    shells: float
    fillet: float
    length: float

    @property
    def left(self) -> float:
        """Length between the fillets [m].

        Reference: a difference of lengths, by definition.
        """
        return self.length - 2 * self.fillet

    @property
    def is_enough(self) -> bool:
        """Whether the shells stay clear of the radii."""
        return self.shells <= self.left + SAME


def rods_abreast(design: Design) -> int:
    """Return the largest number of rods on one pin."""
    return max(Counter(design.layout.throw_of_cylinder).values())


def fillet_rooms(design: Design, purpose: str = PURPOSE) -> tuple[FilletRoom, FilletRoom]:
    """Return the room on crankpin and main journal [m]; raises DesignError where sizes lack.

    Reference: sums of lengths, by definition.
    """
    throw, lengths = design.needed("crank_throw", purpose), shaft_throw(design, purpose)
    pin, main = design.needed("big_end", purpose), design.needed("main_bearing", purpose)
    return (
        FilletRoom(
            "crankpin", rods_abreast(design) * pin.width, throw.pin_fillet, lengths.pin_length
        ),
        FilletRoom("main journal", main.width, throw.journal_fillet, lengths.journal_length),
    )


def axial_stack(design: Design) -> FitCheck:
    """Check that big ends, two webs and a main fit into the throw spacing [m].

    Reference: sum of lengths, by definition.
    """
    rods, spacing = rods_abreast(design), design.layout.throw_spacing
    web = design.needed("crank_throw", PURPOSE).web_thickness
    pin = design.needed("big_end", PURPOSE).width
    main = design.needed("main_bearing", PURPOSE).width
    stack = rods * pin + 2 * web + main
    outcome = within(stack, spacing)
    over = f": {length(stack - spacing)} too long" if outcome == DOES_NOT_FIT else ""
    return FitCheck(
        STACK, outcome,
        f"Big end, two webs and main take {length(stack)} of the throw spacing, "
        f"{length(spacing)}{over}.",
        f"axial stack is {length(stack - spacing)} too long", stack, spacing,
        values=f"{rods}·{mm(pin)} + 2·{mm(web)} + {mm(main)} = {mm(stack)} mm, a = "
        f"{mm(spacing)} mm",
    )  # fmt: skip


def pin_shells(design: Design) -> FitCheck:
    """Check that the big ends' shells lie between the crankpin's fillets [m].

    Reference: sum of lengths, by definition.
    """
    return _between_fillets(PIN_SHELLS, fillet_rooms(design)[0])


def main_shells(design: Design) -> FitCheck:
    """Check that a main's shell lies between its journal's fillets [m].

    Reference: sum of lengths, by definition.
    """
    return _between_fillets(MAIN_SHELLS, fillet_rooms(design)[1])


def _between_fillets(question: FitQuestion, room: FilletRoom) -> FitCheck:
    outcome = FITS if room.is_enough else DOES_NOT_FIT
    ride = "" if room.is_enough else ": they ride on the radii"
    return FitCheck(
        question, outcome,
        f"The {room.journal}'s shells take {length(room.shells)}, its fillets leave "
        f"{length(room.left)}{ride}.",
        f"{room.journal}'s shells ride on its fillets by {length(room.shells - room.left)}",
        room.shells, room.left,
        values=f"{mm(room.shells)} + 2·{mm(room.fillet)} = "
        f"{mm(room.shells + 2 * room.fillet)} mm, length {mm(room.length)} mm",
    )  # fmt: skip


def bores(design: Design) -> FitCheck:
    """Check the wall between neighbouring bores of a bank [m].

    Reference: wall of 4 % of the bore: common practice, no source.
    """
    bore, pitch = design.cylinder.bore, bore_pitch(design)
    wall = pitch - bore
    thin = CLOSE if wall < WALL * bore - SAME else FITS
    return FitCheck(
        BORES, DOES_NOT_FIT if wall <= SAME else thin,
        f"Bores of {length(bore)} stand {length(pitch)} apart: {length(wall)} of wall.",
        f"bores overlap by {length(-wall)}", wall, WALL * bore, at_least=True,
        values=f"{mm(pitch)} − {mm(bore)} = {mm(wall)} mm, minimum {mm(WALL * bore)} mm",
    )  # fmt: skip
