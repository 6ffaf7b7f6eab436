"""What would bring a crankshaft within tolerance that the drilling at hand cannot.

Each remedy changes one thing, and the whole search is asked again; only what was found to do is
told. Where none does alone, all together are tried.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kinematics.array import ComplexArray
from kinematics.balancing.balance_quality import PlaneTolerance
from kinematics.balancing.drill_optimum import HoleRange, drill_optimiser, searched
from kinematics.balancing.drill_sites import Drilling, DrillSite, candidates
from kinematics.units import in_words

_DEEPER = 1.5
_SMALLER = 0.5
_MORE_HOLES = 2
_HALF_FACE = math.radians(30)


@dataclass(frozen=True, slots=True)
class Remedy:
    """A change in words, and what it makes of faces and number of holes."""

    words: str
    sites: tuple[DrillSite, ...]
    most_holes: int


def remedies(
    residual: ComplexArray,
    tolerance: PlaneTolerance,
    sites: Sequence[DrillSite],
    drilling: Drilling,
    most_holes: int,
    reach: HoleRange,
) -> tuple[str, ...]:
    """Return in words which changes, one at a time, would bring both planes within tolerance.

    Parameters
    ----------
    residual : (2,) [kg·m], in the tolerance's planes;  reach : what the faces come to as they are
    """

    def does(remedy: Remedy) -> bool:
        own = candidates(remedy.sites, drilling)
        optimiser = drill_optimiser(residual, tolerance, own)
        step = drilling.angle_step
        found = searched(optimiser, "fewest", remedy.most_holes, step, patient=False)
        return found.choice is not None

    single = list(_single(tuple(sites), tolerance, most_holes, (residual, reach.residual)))
    found = tuple(remedy.words for remedy in single if does(remedy))
    if found or not sites:
        return found
    together = _together(tuple(sites), tolerance, most_holes, reach.residual)
    return (together.words,) if does(together) else ()


def _single(
    sites: tuple[DrillSite, ...],
    tolerance: PlaneTolerance,
    most_holes: int,
    wanting: tuple[ComplexArray, ...],
) -> Iterator[Remedy]:
    """Yield changes of one thing; `wanting` are unbalances (2,) that a further face may look to."""
    more = most_holes + _MORE_HOLES
    yield Remedy(f"more holes, up to {more}", sites, more)
    for words, changed in (
        (f"deeper holes, {_DEEPER:g} times as deep", tuple(map(_deeper, sites))),
        ("a larger drill, as wide as the webs allow", tuple(map(_wider, sites))),
        ("a smaller drill, half as wide", tuple(map(_narrower, sites))),
        ("faces all round on the same webs", _all_round(sites)),
    ):
        if changed != sites:
            yield Remedy(words, changed, most_holes)
    if sites:
        further = dict(_further_face(sites, tolerance, unbalance) for unbalance in wanting)
        for words, face in further.items():
            yield Remedy(words, (*sites, face), most_holes)


def _together(
    sites: tuple[DrillSite, ...], tolerance: PlaneTolerance, most_holes: int, left: ComplexArray
) -> Remedy:
    _, face = _further_face(sites, tolerance, left)
    changed = (*(_deeper(_wider(site)) for site in _all_round(sites)), _deeper(_wider(face)))
    return Remedy(
        "only all of it together: more, deeper and wider holes, all round, on a further face",
        changed,
        most_holes + _MORE_HOLES,
    )


def _deeper(site: DrillSite) -> DrillSite:
    """Return a face with deeper holes, as far as half the way to the crank's axis."""
    most = site.radius / 2 - max(site.diameters) / 2
    return replace(site, most_depth=max(site.most_depth, min(_DEEPER * site.most_depth, most)))


def _wider(site: DrillSite) -> DrillSite:
    """Return a face with the largest drill too that is a whole number of half millimetres."""
    widest = min(site.widest_drill, site.radius / 2, 2 * (site.radius - site.most_depth))
    drill = (math.ceil(widest / 5e-4) - 1) * 5e-4
    if drill <= max(site.diameters):
        return site
    return replace(site, diameters=(*site.diameters, drill))


def _narrower(site: DrillSite) -> DrillSite:
    return replace(site, diameters=(*site.diameters, _SMALLER * min(site.diameters)))


def _all_round(sites: tuple[DrillSite, ...]) -> tuple[DrillSite, ...]:
    """Return one full disc a web, of the first of its faces."""
    first = {site.web: site for site in reversed(sites)}
    if all(site.angle_high - site.angle_low >= 2 * math.pi for site in sites):
        return sites
    return tuple(
        replace(site, angle_low=0.0, angle_high=2 * math.pi) for _, site in sorted(first.items())
    )


def _further_face(
    sites: tuple[DrillSite, ...], tolerance: PlaneTolerance, left: ComplexArray
) -> tuple[str, DrillSite]:
    """Return a face in the plane that has too much, toward the unbalance there; (2,) [kg·m]."""
    plane = int((np.abs(left) / tolerance.amounts).argmax())
    angle = float(np.angle(left[plane])) % (2 * math.pi)
    face = replace(
        max(sites, key=lambda site: site.radius),
        web=max(site.web for site in sites) + 1,
        z=float(tolerance.planes.places[plane]),
        angle_low=angle - _HALF_FACE,
        angle_high=angle + _HALF_FACE,
    )
    name = ("front", "rear")[plane]
    return f"a further face toward {math.degrees(angle):.0f}°, near the {name} plane", face


def largest_excess(reach: HoleRange, tolerance: PlaneTolerance) -> str:
    """Return in words what parts of holes leave in the worse plane."""
    ratio = np.abs(reach.residual) / tolerance.amounts
    plane = int(ratio.argmax())
    angle = math.degrees(float(np.angle(reach.residual[plane]))) % 360
    left = in_words(float(abs(reach.residual[plane])), "kg_mm", 3)
    return f"{left} at {angle:.0f}° in the {('front', 'rear')[plane]} plane"
