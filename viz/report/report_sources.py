"""What a report rests on: the sources of its numbers, and what the computation leaves out."""

from collections.abc import Iterable

from kinematics.limits.speed_limits import Ladder
from viz.limits.criterion_views import view_of
from viz.limits.limit_board import CONFIDENCE
from viz.train.main_number import MainNumber

# the same as in docs/assumptions.md; a test compares them
LEFT_OUT = (
    "Exact slider-crank at steady crank speed, rigid parts, no clearances.",
    "No friction, no gravity, one pressure curve for all cylinders that fire alike.",
    "The pressure model has no knock, wave action or heat loss of its own: it is as good as the "
    "peak, angle and exponents given.",
    "The ladder uses the full-load curve, linear in speed between its rows; without a curve the "
    "pressure is the same at every speed.",
    "The continuous shaft is a frame of shear-flexible beams on elastic mains.",
    "Fillets (1 to 2 % stiffer), counterweights (less than 1 %), web lightening and oil holes are "
    "left out; bores stop at the webs.",
    "Throws are evenly spaced; the cylinders of a shared crankpin act at its middle.",
    "Films are those of round, rigid shells and journals, one viscosity per bearing.",
    "Elastic shells (more film at the edges, lower peak) are left out. Grooves of mains are open: "
    "their pressure is the supply's, which counts as none beside the film's.",
    "Hole and groove limit the flow that passes and carries the heat, by formulas for steady loads "
    "(Martin and Lee) with means of the cycle.",
    "What starving costs over a cycle is not computed.",
    "Edge films (misalignment and crown) are estimates.",
    "Where a design gives no size, a part is drawn by proportion; sizes of piston pin and rod "
    "shank that the limits use are not drawn.",
    "Many default allowables are from memory or common practice and are marked so on screen: they "
    "compare designs and release none.",
)


def sources(numbers: Iterable[MainNumber], ladder: Ladder) -> list[tuple[str, str]]:
    """Return each source once with what rests on it, in the order of first use."""
    used: dict[str, list[str]] = {}
    for number in numbers:
        used.setdefault(_capital(number.source), []).append(number.label)
    for rung in ladder.rungs:
        source = _capital(view_of(rung.criterion).source_of(rung))
        if source:
            used.setdefault(source, []).append(rung.criterion.label)
    return [(source, "; ".join(dict.fromkeys(labels))) for source, labels in used.items()]


def origins(ladder: Ladder) -> list[tuple[str, str, str]]:
    """Return where allowables are known from, each once: words, how sure, for what."""
    used: dict[tuple[str, str], list[str]] = {}
    for rung in ladder.rungs:
        origin = rung.allowed.origin
        used.setdefault((origin.words, origin.confidence), []).append(rung.criterion.label)
    return [
        (words, CONFIDENCE[confidence], "; ".join(dict.fromkeys(labels)))
        for (words, confidence), labels in used.items()
    ]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
