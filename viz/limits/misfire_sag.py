"""How much the speed sags at idle where a cylinder misfires: formula, values, conventions."""

from kinematics.limits.misfire import MisfireRung, idle_sag
from viz.number_words import operand
from viz.speed_words import rpm

SAG_FORMULA = "sag: ΔE = θ·(T̄ − T̄_k), Δω = ΔE/(J·ω), θ cycle angle, T̄_k with cylinder k motored"
SAG_CONVENTIONS = (
    "The speed sags in the missing cylinder's interval, the load unchanged: J. E. Shigley and "
    "J. J. Uicker, Theory of Machines and Mechanisms, chapter on flywheels (from memory)."
)


def sag_values(found: MisfireRung) -> str:
    """Return the missing work and the drop of the speed with the values put in."""
    sag = idle_sag(found)
    return (
        f"ΔE = {operand(sag.missing_work)} J\n"
        f"Δω = {operand(sag.missing_work)}/({operand(sag.inertia)}·{operand(sag.speed)}) = "
        f"{operand(sag.drop)} rad/s = {operand(rpm(sag.drop))} rpm"
    )
