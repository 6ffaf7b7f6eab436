"""What a report rests on: the sources of its numbers, and what the computation leaves out."""

from collections.abc import Iterable

from kinematics.limits.speed_limits import Ladder
from viz.limits.limit_board import CONFIDENCE, WORDS
from viz.train.main_number import MainNumber

# the same as in the README; a test compares them
LEFT_OUT = (
    "Rigid parts, but for the shaft in torsion; steady speed; no friction, no gravity; one "
    "pressure curve for all cylinders; main bearings by the statically determinate rule, each "
    "throw a beam between its two mains, unless the design takes a continuous shaft; throws "
    "evenly spaced, the cylinders of a shared crankpin "
    "at its middle.",
    "The pressure model has no knock, no wave action and no heat loss of its own: it is as good as "
    "the peak, angle and exponents given to it.",
    "Gas force on the ladder follows the full-load curve; without one it is the same at every "
    "speed.",
    "Films are those of round, rigid shells and journals with one viscosity each, always full of "
    "oil: elastic shells (which carry more at the edges and less in the peak), starvation, and "
    "the bearing surface lost to a partial groove are left out; "
    "edge films (misalignment and crown) are estimates.",
    "Parts are drawn by proportion where the picture's design gives no size, and the sizes of pin "
    "and shank that the limits use are not drawn yet.",
    "Many guide values are known from memory only and are marked so on screen: they compare "
    "designs and release none.",
)


def sources(numbers: Iterable[MainNumber], ladder: Ladder) -> list[tuple[str, str]]:
    """Return each source once with what rests on it, in the order of first use."""
    used: dict[str, list[str]] = {}
    for one in numbers:
        used.setdefault(_capital(one.source), []).append(one.label)
    for rung in ladder.rungs:
        source = _capital(WORDS[rung.criterion.key].source)
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
