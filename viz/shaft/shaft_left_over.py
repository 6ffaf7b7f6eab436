"""What a shaft leaves unbalanced, in words: by itself, inside, and on the block with the pistons.

A shaft may be left unbalanced on purpose: where counterweights also hold what of the pistons'
first order turns with the crank, it is balanced with bob weights, not bare.
"""

import dataclasses

from kinematics import Design
from kinematics.balancing.rotating_balance import NEGLIGIBLE_MOMENT, first_order, rotating_balance
from kinematics.shaft.counterweight_schemes import internal_moment
from viz.number_words import with_unit

RAISED = 0.01  # relative: a smaller rise of the internal moment is none
CANCELLED = 0.01  # of what rotates: less left on the block is none


def left_over_words(design: Design, speed: float) -> tuple[str, ...]:
    """Return what throws, counterweights and big ends leave, and the block feels, at [rad/s]."""
    left = rotating_balance(design)
    bare = rotating_balance(dataclasses.replace(design, counterweights=()))
    at, block = f"at {with_unit(speed, 'rpm', 4)}", first_order(design)
    shaken, rocked = block.force * speed**2, block.moment * speed**2
    force, couple = abs(left.static) * speed**2, abs(left.moment) * speed**2
    size, pair = with_unit(abs(left.static), "kg_mm"), abs(left.moment) / left.spacing
    one_throw = left.one_throw * speed**2
    found = []
    if left.static_is_left:
        found.append(
            f"Statically unbalanced by {size}, {with_unit(force, 'kN')} {at}: "
            f"{_why(bare.static_is_left, shaken / force)}. "
            f"{_on_block(shaken / force, shaken, 'kN')}"
        )
    elif shaken > NEGLIGIBLE_MOMENT * one_throw:
        found.append(_pistons_alone("force", with_unit(shaken, "kN"), at))
    if left.moment_is_left:
        found.append(
            f"Dynamically unbalanced by a pair of {with_unit(pair, 'kg_mm')} one throw spacing "
            f"apart, a couple of {with_unit(couple, 'Nm')} {at}: "
            f"{_why(bare.moment_is_left, rocked / couple)}. "
            f"{_on_block(rocked / couple, rocked, 'Nm')}"
        )
    elif rocked > NEGLIGIBLE_MOMENT * one_throw * left.spacing:
        found.append(_pistons_alone("couple", with_unit(rocked, "Nm"), at))
    return tuple(found)


def moment_change_words(before: Design, after: Design, speed: float) -> str:
    """Return the internal bending moment of two designs at a speed [rad/s] beside one another."""
    old, new = (
        with_unit(internal_moment(design).largest * speed**2, "Nm") for design in (before, after)
    )
    return f"internal bending moment {old} before, {new} now"


def moment_rise_words(now: Design, chosen: Design, speed: float) -> tuple[str, ...]:
    """Return a warning where chosen counterweights raise the internal bending moment."""
    old, new = (internal_moment(design).largest * speed**2 for design in (now, chosen))
    if new <= old * (1 + RAISED):
        return ()
    words = (
        f"As chosen: the internal bending moment rises from {with_unit(old, 'Nm')} to "
        f"{with_unit(new, 'Nm')} at {with_unit(speed, 'rpm', 4)} (rotating masses only)."
    )
    return (words,)


def couple_left(design: Design, speed: float) -> str:
    """Say what couple throws, counterweights and big ends leave at a speed [rad/s]."""
    left = rotating_balance(design)
    if not left.moment_is_left:
        return "and no couple (throws, counterweights, big ends)"
    couple = abs(left.moment) * speed**2
    cancelled = first_order(design).moment < CANCELLED * abs(left.moment)
    which = ", cancelled by the pistons" if cancelled else ""
    return f"and a couple of {with_unit(couple, 'Nm')}{which}"


def _why(throws_leave_it: bool, on_block: float) -> str:
    if on_block < CANCELLED:
        return "the counterweights also balance part of the pistons' first order"
    if throws_leave_it:
        return "neither the throws nor the counterweights cancel it"
    return "the throws are inherently balanced, the counterweights are not"


def _on_block(share: float, amplitude: float, unit: str) -> str:
    if share < CANCELLED:
        return "Nothing of it acts on the block; balance the shaft with bob weights."
    return f"With the pistons, {with_unit(amplitude, unit)} of first order acts on the block."


def _pistons_alone(kind: str, size: str, at: str) -> str:
    return f"The shaft is balanced, but the pistons leave a first-order {kind} of {size} {at}."
