"""A tolerance study in words: what it says, its formulas with values put in, what it leaves out."""

import math

import numpy as np

from kinematics.array import Array
from kinematics.balancing.balance_quality import named_grade
from kinematics.balancing.balance_scatter import Spread
from kinematics.balancing.scatter_study import ScatterStudy
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.units import shown_unit
from viz.number_words import capitalised, format_number, format_whole, operand, with_unit
from viz.speed_words import rpm_text

KIND_WORDS = {  # of a field of Spreads: what scatters, and the unit's key
    "piston_mass": ("pistons", "g"),
    "rod_small_end": ("small ends", "g"),
    "rod_big_end": ("big ends", "g"),
    "throw_moment": ("throws", "g_mm"),
    "throw_angle": ("throw angles", "deg"),
    "counterweight_moment": ("counterweights", "g_mm"),
}
ORDER_WORDS = ("1st order", "2nd order")
PLANE_WORDS = ("front", "rear")
FAR = 0.5  # of what is permissible: a mean beyond is no matter of scatter
SCATTER_NOTES = (
    "Pistons and rods are not on the balancing machine: their scatter shakes the running engine, "
    "not the residual. An angle error moves pin and rods; counterweights stay with their webs. Bob "
    "weights have nominal mass.",
    "Mean: magnitude of the mean vector. Spread: root mean square distance from it, exact and of "
    "the samples. Parts scatter independently, all of a kind equally.",
)


def verdict_words(study: ScatterStudy) -> str:
    """Say what share of shafts must be drilled, and below what most of them stay."""
    front, rear = (with_unit(amount, "g_mm") for amount in study.residual_percentiles[1])
    amounts = study.tolerance.amounts
    allowed_front, allowed_rear = (with_unit(float(amount), "g_mm") for amount in amounts)
    return (
        f"{_share(study)} beyond {study.grade} at {rpm_text(study.highest)} "
        f"({allowed_front} in front, {allowed_rear} at the rear). "
        f"95 % stay below {front} in front and {rear} at the rear."
    )


def _share(study: ScatterStudy) -> str:
    """Say how many shafts need drilling, as fine as the samples know it."""
    share, count = study.to_drill, len(study.within)
    if share == 0:
        return f"No shaft of {count_words(count)} needs drilling: none is"
    if share == 1:
        return "Every shaft needs drilling: all are"
    error = 100 * study.to_drill_error
    digits = 0 if error > 0.5 else 1
    return f"{100 * share:.{digits}f} % of shafts need drilling: their residual is"


def count_words(count: int) -> str:
    """Return a count with thin spaces."""
    return format_whole(count)


def hint_words(study: ScatterStudy) -> str:
    """Say where the mean itself, and no scatter, is what brings shafts beyond; else nothing."""
    mean = np.abs(study.scatter.residual.mean)
    if np.all(mean < FAR * study.tolerance.amounts):
        return ""
    size = with_unit(float(mean.max()), "g_mm")
    words = f"The mean itself is {size}: a systematic error, not scatter."
    if study.bob_share is None:
        return f"{words} A V engine's shaft is balanced with bob weights on its pins."
    return f"{words} Change counterweights or balance factor to move it."


def bob_words(study: ScatterStudy) -> str:
    """Say whether the shaft runs with bob weights."""
    if study.bob_share is None:
        return "Balanced without bob weights."
    share = operand(100 * study.bob_share)
    return f"Balanced with bob weights: big ends and {share} % of the reciprocating mass."


def scatter_formulas(study: ScatterStudy) -> list[str]:
    """Return how the numbers come about, with the values put in."""
    return [*_permissible(study), *_residual(study), *_loads(study), *_shares(study)]


def _permissible(study: ScatterStudy) -> list[str]:
    speed = named_grade(study.grade).speed
    mass = shaft_geometry(study.design).mass
    whole = mass * speed / study.highest
    front, rear = (with_unit(float(amount), "g_mm") for amount in study.tolerance.amounts)
    return [
        f"Permissible by {study.grade}: U = G m / ω = {operand(1e3 * speed)} mm/s · "
        f"{with_unit(mass, 'kg', 4)} / {rpm_text(study.highest)} = {with_unit(whole, 'g_mm')}; by "
        f"the lever to the centre of gravity {front} in front, {rear} at the rear (ISO 21940-11)."
    ]


def _residual(study: ScatterStudy) -> list[str]:
    """Return what each kind brings to the residual of the front plane, and their sum."""
    own = np.sqrt(study.kinds.residual[:, 0])
    told = [
        _kind(name, getattr(study.spreads, name), float(size))
        for name, size in zip(KIND_WORDS, own, strict=True)
        if size > 0
    ]
    if not told:
        return ["No part on the balancing machine scatters: the residual is its mean."]
    drawn = study.scatter.residual
    exact, found = math.sqrt(drawn.variance[0]), math.sqrt(drawn.sample_variance[0])
    round_one = math.sqrt(math.log(20)) * exact
    return [
        *told,
        f"All, front plane: s = √Σ s² = {_root(own, 'g_mm')} = {with_unit(exact, 'g_mm')}; of "
        f"the samples {with_unit(found, 'g_mm')}.",
        "For a normal vector about zero, equal in all directions, 95 % stay below "
        f"√(ln 20) s = 1.731 · {with_unit(exact, 'g_mm')} = {with_unit(round_one, 'g_mm')}; of the "
        f"samples {with_unit(study.residual_percentiles[1, 0], 'g_mm')}.",
    ]


def _kind(name: str, spread: Spread, size: float) -> str:
    """Return one kind's own spread in the front plane: size [kg·m]."""
    words, unit = KIND_WORDS[name]
    words = capitalised(words)
    if name == "throw_angle":
        turn = math.sqrt(1 - spread.mean_cosine(1) ** 2)
        return (
            f"{words}, front plane: s = √(1 − χ²) · √Σ(U h)² = {operand(turn)} · "
            f"{with_unit(size / turn, 'g_mm')} = {with_unit(size, 'g_mm')}; χ is the mean "
            f"of cos δ, "
            "U unbalance that rotates with a throw, h its lever share (z₂ − z)/(z₂ − z₁)."
        )
    return (
        f"{words}, front plane: s = σ √Σh² = {with_unit(spread.deviation, unit)} · "
        f"{operand(size / spread.deviation)} = {with_unit(size, 'g_mm')}{_width(spread)}."
    )


def _width(spread: Spread) -> str:
    return "; σ is the half width over √3" if spread.kind == "uniform" else ""


def _root(sizes: Array, unit: str) -> str:
    """Return the root of the sum of squares of those sizes [SI] that are not zero."""
    shown = shown_unit(unit)
    squares = " + ".join(
        f"{format_number(shown.from_si(float(size)))}²" for size in sizes if size > 0
    )
    return f"√({squares}) {shown.symbol}"


def _loads(study: ScatterStudy) -> list[str]:
    """Return what the kinds bring to the free force of each order at the rated speed."""
    own = study.speed**2 * np.sqrt(study.kinds.force.sum(axis=-1))
    told = []
    for words, part in zip(ORDER_WORDS, own.T, strict=True):
        all_ = math.sqrt((part**2).sum())
        kinds = [
            KIND_WORDS[name][0]
            for name, variance in zip(KIND_WORDS, part, strict=True)
            if variance > 0
        ]
        if kinds:
            told.append(
                f"Free force of the {words} at {rpm_text(study.speed)}: "
                f"s = {_root(part, 'N')} = {with_unit(all_, 'N')}, by {', '.join(kinds)}."
            )
    return told


def _shares(study: ScatterStudy) -> list[str]:
    share, count = study.to_drill, len(study.within)
    return [
        f"Share to drill: p = {count_words(round(share * count))} / {count_words(count)} = "
        f"{100 * share:.2f} %, known to √(p (1 − p)/n) = {100 * study.to_drill_error:.2f} % with "
        "this sample size."
    ]
