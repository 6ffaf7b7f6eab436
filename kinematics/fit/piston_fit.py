"""Whether the piston clears counterweights, head and valves, and adds up to the deck's height.

References: plane geometry of the slider-crank; clearances as each question says.
"""

from kinematics.design.design import Design
from kinematics.fit.fit_check import (
    CLEARANCE,
    CLEARANCE_SOURCE,
    DOES_NOT_FIT,
    FitCheck,
    FitQuestion,
    by_clearance,
    drawn,
    given,
    length,
    mm,
    within,
)
from kinematics.train.cylinder_pressure import slider_crank

DECK_MISMATCH = 0.01  # of the bore, between deck and crown at TDC
HEAD_CLEARANCE = 0.01  # of the bore, for stretch, heat and journal clearances
VALVE_CLEARANCE = 0.015  # of the bore
_USUAL_SKIRT = "skirt by common practice, as piston.skirt_length_mm is not given"

SKIRT = FitQuestion(
    "skirt", "Skirt to counterweight at BDC", "counterweight", "mm",
    "y_BDC − skirt below pin − R ≥ 0.02·piston diameter\n"
    "y_BDC height of the pin, R radius of the counterweight, or of the web's hub",
    f"plane geometry; {CLEARANCE_SOURCE}")  # fmt: skip
DECK = FitQuestion(
    "deck", "Stack to deck height", "cylinder.rod_length_mm", "mm",
    "y_TDC + compression height = deck height ± 0.01·bore\n"
    "y_TDC = √((l + r)² − e²), the pin's height: rod and crank radius in line",
    "plane geometry; ± 1 % of the bore: common practice, no source")  # fmt: skip
HEAD = FitQuestion(
    "head", "Piston to head", "cylinder.rod_length_mm", "mm",
    "deck height + gasket − y_TDC − compression height ≥ 0.01·bore",
    "plane geometry; 1 % of the bore, for stretch and heat: common practice, no source",
)  # fmt: skip
VALVE = FitQuestion(
    "valve", "Piston to valve", "cylinder.valve_clearance_mm", "mm",
    "clearance as given ≥ 0.015·bore",
    "1.5 % of the bore: common practice, no source")  # fmt: skip


def skirt_to_counterweight(design: Design) -> FitCheck:
    """Check the gap between skirt and counterweights, or webs, at BDC [m].

    Reference: plane geometry; clearance of 2 % of the bore: common practice, no source.
    """
    parts = drawn(design)
    radius, name = parts.web.hub_radius, "a web"
    for weight in parts.counterweights:
        if weight.outer_radius > radius:
            radius, name = weight.outer_radius, f"the counterweight on web {weight.web}"
    skirt, least = parts.piston.skirt_length, CLEARANCE * parts.piston.diameter
    gap = parts.bottom - skirt - radius
    outcome = by_clearance(gap, least)
    usual = f" ({_USUAL_SKIRT})" if design.piston.skirt_length is None else ""
    found = (
        f"The skirt meets {name} by {length(-gap)} at BDC"
        if outcome == DOES_NOT_FIT
        else f"The skirt clears {name} by {length(gap)} at BDC"
    )
    return FitCheck(
        SKIRT, outcome, f"{found}{usual}.", f"skirt meets {name} by {length(-gap)}", gap, least,
        at_least=True,
        values=f"{mm(parts.bottom)} − {mm(skirt)} − {mm(radius)} = {mm(gap)} mm, minimum "
        f"{mm(least)} mm",
    )  # fmt: skip


def _below_deck(design: Design) -> tuple[float, str]:
    """Return how far the crown stays below the deck at TDC [m], and the sum in words."""
    deck = given(design, "cylinder.deck_height_mm")
    height = given(design, "piston.compression_height_mm")
    top = slider_crank(design.cylinder).top
    return deck - top - height, f"{mm(top)} + {mm(height)} = {mm(top + height)} mm"


def stack_to_deck(design: Design) -> FitCheck:
    """Check that pin, compression height, rod and crank radius add up to the deck height [m].

    Reference: plane geometry; ± 1 % of the bore: common practice, no source.
    """
    below, total = _below_deck(design)
    deck, bound = given(design, "cylinder.deck_height_mm"), DECK_MISMATCH * design.cylinder.bore
    side = "below" if below >= 0 else "above"
    outcome = within(abs(below), bound)
    return FitCheck(
        DECK, outcome,
        f"At TDC the crown stands {length(abs(below))} {side} the deck; "
        f"{length(bound)} is usual at most.",
        f"crown {length(abs(below))} {side} the deck at TDC", abs(below), bound,
        values=f"{total}, deck height {mm(deck)} mm",
    )  # fmt: skip


def piston_to_head(design: Design) -> FitCheck:
    """Check the clearance of crown and head at TDC, cold [m].

    Reference: plane geometry; 1 % of the bore: common practice, no source.
    """
    gasket = given(design, "cylinder.gasket_thickness_mm")
    below, total = _below_deck(design)
    deck, least = given(design, "cylinder.deck_height_mm"), HEAD_CLEARANCE * design.cylinder.bore
    gap = below + gasket
    outcome = by_clearance(gap, least)
    found = "meets the head by" if outcome == DOES_NOT_FIT else "clears the head by"
    return FitCheck(
        HEAD, outcome, f"At TDC, cold and at rest, the crown {found} {length(abs(gap))}.",
        f"piston meets head by {length(-gap)}", gap, least, at_least=True,
        values=f"{mm(deck)} + {mm(gasket)} − ({total}) = {mm(gap)} mm, minimum {mm(least)} mm",
    )  # fmt: skip


def piston_to_valve(design: Design) -> FitCheck:
    """Check the clearance of valves and crown [m] as given.

    Reference: 1.5 % of the bore: common practice, no source.
    """
    gap = given(design, "cylinder.valve_clearance_mm")
    least = VALVE_CLEARANCE * design.cylinder.bore
    outcome = by_clearance(gap, least)
    found = "meet the piston by" if outcome == DOES_NOT_FIT else "clear the piston by"
    return FitCheck(
        VALVE, outcome, f"The valves {found} {length(abs(gap))}, as given.",
        f"valves meet piston by {length(-gap)}", gap, least, at_least=True,
        values=f"{mm(gap)} mm, minimum {mm(least)} mm",
    )  # fmt: skip
