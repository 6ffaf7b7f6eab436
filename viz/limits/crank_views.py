"""How the criteria of crankshaft fillets and oil bore are shown."""

from collections.abc import Callable

from kinematics.limits.speed_limits import Rung
from kinematics.strength.crank_strength import (
    equivalent_stresses,
    factors_below_surface,
    fatigue_strengths,
)
from viz.limits.crank_charts import every_throw
from viz.limits.criterion_view import CRANKSHAFT, CriterionView
from viz.limits.plain_story import share_used
from viz.limits.substitution import at, result
from viz.number_words import operand, with_unit

_M53 = (
    "IACS UR M53, as adopted in Korean Register, Rules for the Classification of Steel Ships, "
    "2025, Part 5, Annex 5-3 (read in a public reprint); the coefficient 0.857 of b³ in the "
    "torsion factor is from memory, the reprint reads 0.85, 2 to 4 % more cautious"
)
_INDICATIVE = (
    "Fitted to larger shafts, those of ships' engines: indicative only for a car's crankshaft. "
    "Rolled and undercut fillets lie outside it. Under a treated layer the core counts with the "
    "untreated fillet's strength, and the journal's factors fall off as the pin's do (from "
    "memory). A misfire is a mark beside it. "
)
_AMPLITUDES = f"{_INDICATIVE}Amplitude (half peak-to-peak) of each over the cycle; means drop out."


def _fillet(place: str) -> Callable[[Rung], str]:
    """Return a writer of Q at a place of `AtPlaces`, of the throw where it is least."""

    def write(rung: Rung) -> str:
        parts = rung.parts
        throw = int(getattr(parts.acceptability(at(rung)), place)[:, 0].argmin())
        nominal = parts.alternating(at(rung))
        names = ("web_bending", "web_shear", "pin_torsion", "journal_torsion", "bore_bending")
        b, q, t, g, o = (float(getattr(nominal, name)[throw, 0]) for name in names)
        factors, stress = parts.factors, equivalent_stresses(parts.factors, nominal)
        bent = factors.bore_bending * o
        lines = {
            "pin_fillet": f"σ_v = √(({operand(factors.pin_bending)}·{operand(b)} + 10·10⁶)² + "
            f"3·({operand(factors.pin_torsion)}·{operand(t)})²)",
            "journal_fillet": f"σ_v = √(({operand(factors.journal_bending)}·{operand(b)} + "
            f"{operand(factors.journal_shear)}·{operand(q)} + 10·10⁶)² + "
            f"3·({operand(factors.journal_torsion)}·{operand(g)})²)",
            "oil_bore": f"σ = {operand(factors.bore_bending)}·{operand(o)} = {operand(bent)} Pa, "
            f"σ_v = ({operand(bent)} + 2·√({operand(bent)}² "
            f"+ 9/4·({operand(factors.bore_torsion)}·{operand(t)})²))/3",
        }
        equivalent = float(getattr(stress, place)[throw, 0])
        whole = ", the worse web, continuous shaft" if parts.continuous else ""
        first = f"throw {throw + 1}{whole}: {lines[place]} = {operand(equivalent)} Pa"
        core = float(getattr(fatigue_strengths(parts.section, parts.material), place))
        if parts.treatment is None or place == "oil_bore":
            return f"{first}\n" + result(rung, "Q", f"{operand(core)}/{operand(equivalent)}")
        below = factors_below_surface(
            parts.section, parts.factors, parts.treatment.transition_depth
        )
        inside = float(getattr(equivalent_stresses(below, nominal), place)[throw, 0])
        surface = parts.treatment.surface_strength
        kind = parts.treatment.kind.replace("_", " ")
        return (
            f"{first}\n{kind} surface: {operand(surface)}/{operand(equivalent)} = "
            f"{operand(surface / equivalent)}\ncore "
            f"{with_unit(parts.treatment.transition_depth, 'mm')} "
            f"below, σ_v = {operand(inside)} Pa there: {operand(core)}/{operand(inside)} = "
            f"{operand(core / inside)}\n"
            + result(
                rung,
                "Q",
                f"min({operand(surface)}/{operand(equivalent)}, {operand(core)}/{operand(inside)})",
            )
        )

    return write


def _warnings(rung: Rung) -> list[str]:
    """Return in words where the fitted factors are stretched."""
    return list(rung.parts.validity)


def _view(place: str, what: str, formula: str, conventions: str) -> CriterionView:
    """Return the view of Q at a place of `AtPlaces`."""
    return CriterionView(
        sentence=f"The {what} fall below their acceptability factor",
        formula=formula, substitution=_fillet(place), conventions=conventions, source=_M53,
        charts=(("Every throw", every_throw(place)),), symbol="Q", warnings=_warnings,
        story=share_used(f"fatigue of the {what}"), group=CRANKSHAFT,
    )  # fmt: skip


CRANK_VIEWS = {
    "pin_fillet": _view(
        "pin_fillet", "crankpin fillets",
        "Q = σ_DW/σ_v,  σ_v = √((α_B·σ_BF + σ_add)² + 3·(α_T·τ)²)\n"
        "σ_BF, τ alternating nominal bending of the web, torsion of the pin", _AMPLITUDES),
    "journal_fillet": _view(
        "journal_fillet", "journal fillets",
        "Q = σ_DW/σ_v,  σ_v = √((β_B·σ_BF + β_Q·σ_QF + σ_add)² + 3·(β_T·τ)²)", _AMPLITUDES),
    "oil_bore": _view(
        "oil_bore", "oil bores",
        "Q = σ_DW/σ_v,  σ_v = σ/3·(1 + 2·√(1 + 9/4·(τ/σ)²)),  σ = γ_B·σ_BO, τ = γ_T·τ_N",
        f"{_INDICATIVE}Never taken as treated."),
}  # fmt: skip
