"""The shaft page's tables: counterweights, what a change costs, and layouts beside one another."""

import dataclasses
import math

import numpy as np

from kinematics import Design
from kinematics.declaration import Declaration
from kinematics.design.design_field import group_field
from kinematics.limits.shaft_costs import GRAMS, Cost
from kinematics.mechanics.part_shapes import CounterweightShape, PartGeometry
from kinematics.shaft.counterweight_cost import widest_turn
from kinematics.shaft.counterweight_schemes import internal_moment, scheme_counterweights
from kinematics.shaft.part_geometry import part_geometry
from kinematics.train.cycle import rigid_train
from kinematics.train.layout_balance import LayoutBalance, Left
from kinematics.units import shown_system, shown_unit
from viz.number_words import as_drawn, axis, with_unit
from viz.shaft.shaft_board import shaft_or_none
from viz.shaft.shaft_table import Cell, Table

# of a unit's key: what one step of it is, by system of units, in the unit shown
STEPS = {
    "si": {"mm": 1.0, "g": 1.0, "percent": 1.0, "deg": 1.0},
    "us": {"mm": 0.01, "g": 0.1, "percent": 1.0, "deg": 1.0},
}
LEAST_TURN = math.radians(0.01)  # of a counterweight that is said to be turned
FLANK = math.radians(0.5)  # so far over the web's cheek a flank is let pass
GRAM_WORDS = {
    "piston": "Mass at each piston",
    "small end": "Mass at each small end",
    "big end": "Mass at each big end",
    "counterweight": "Mass at each counterweight, at crank radius",
}
FULL_LABELS = {
    "main_bearing.diameter_mm": "Main journal diameter",
    "big_end.diameter_mm": "Crankpin diameter",
}
NUMBERS = (  # attribute of ShaftNumbers, head, unit's key
    ("mass", "Mass", "g"),
    ("inertia", "Inertia with rods", "kg_mm2"),
    ("main_load", "Main load", "N"),
    ("web_bending", "Web bending", "MPa"),
    ("free_force", "Free force", "N"),
    ("free_moment", "Free moment", "Nm"),
)


def with_scheme(
    design: Design, scheme: str, rotating: float, reciprocating: float, *, aside: bool = False
) -> Design:
    """Return a design with a scheme's counterweights; raises DesignError if it is none."""
    weights = scheme_counterweights(design, scheme, rotating, reciprocating, aside=aside)
    return dataclasses.replace(design, counterweights=weights)


def web_table(design: Design, chosen: Design) -> Table:
    """Return every web's counterweight: now, and as chosen with its turn, radius, mass and fit.

    Its turn is from opposite its pin, positive with rotation.
    """
    now, parts = _shapes(design), part_geometry(chosen)
    then, masses = {weight.web: weight for weight in parts.counterweights}, _masses(chosen)
    rows: list[tuple[Cell, ...]] = []
    for web in range(1, 2 * design.layout.throws + 1):
        weight = then.get(web)
        rows.append(
            (
                f"{web}, throw {(web + 1) // 2}",
                _moment(now.get(web)),
                _moment(weight),
                None if weight is None else round(float(as_drawn(_turned(weight), "deg")), 1),
                None if weight is None else float(as_drawn(weight.outer_radius, "mm")),
                masses.get(web),
                "–" if weight is None else _room(weight, parts),
            )
        )
    known = [mass for mass in masses.values() if mass is not None]
    rows.append(("All", _sum(now), _sum(then), None, None, sum(known) if known else None, ""))
    head = (
        "Web", axis("Now", "kg_mm"), axis("Chosen", "kg_mm"), axis("Offset angle", "deg"),
        axis("Radius", "mm"), axis("Mass", "g"), "Clearance",
    )  # fmt: skip
    return Table("Counterweights by web", head, tuple(rows), len(rows) - 1)


def _turned(weight: CounterweightShape) -> float:
    """Return how far a counterweight is turned from opposite its pin [rad], rounding left out."""
    turned = math.remainder(weight.angle - math.pi, 2 * math.pi)
    return turned if abs(turned) > LEAST_TURN else 0.0


def _room(weight: CounterweightShape, parts: PartGeometry) -> str:
    """Say whether a counterweight clears what is about it, and its flanks the web's cheeks."""
    clear = widest_turn(parts, weight.half_angle)
    if not weight.fits:
        return "✗ no room"
    return "fits" if abs(_turned(weight)) <= clear + FLANK else "✗ at the web"


def effect_table(design: Design, chosen: Design, speed: float) -> Table:
    """Return what the counterweights weigh and do, now and as chosen."""
    head = (
        "Shaft", axis("Mass", "g"), axis("Inertia", "kg_mm2"), axis("Peak main load", "kN"),
        axis("Internal bending moment", "Nm"),
    )  # fmt: skip
    rows = (_effect("Now", design, speed), _effect("Chosen", chosen, speed))
    return Table(f"Effect at {with_unit(speed, 'rpm', 4)}", head, rows)


def _effect(name: str, design: Design, speed: float) -> tuple[Cell, ...]:
    shaft, load = shaft_or_none(design), rigid_train(design).main_block.at(speed)
    peak = float(np.hypot(load[:, 0], load[:, 1]).max())
    inside = internal_moment(design).largest * speed**2
    return (
        name,
        None if shaft is None else float(as_drawn(shaft.mass, "g")),
        None if shaft is None else float(as_drawn(shaft.inertia, "kg_mm2")),
        float(as_drawn(peak, "kN")),
        float(as_drawn(inside, "Nm")),
    )


def _shapes(design: Design) -> dict[int, CounterweightShape]:
    return {weight.web: weight for weight in part_geometry(design).counterweights}


def _moment(weight: CounterweightShape | None) -> float | None:
    return None if weight is None else float(as_drawn(weight.unbalance, "kg_mm"))


def _sum(shapes: dict[int, CounterweightShape]) -> float:
    return float(as_drawn(sum(shape.unbalance for shape in shapes.values()), "kg_mm"))


def _masses(design: Design) -> dict[int, float | None]:
    """Return the mass of each web's counterweight as shown; none where the shaft has no weight."""
    shaft = shaft_or_none(design)
    bodies = () if shaft is None else shaft.of_kind("counterweight")
    return {int(body.name.split()[-1]): float(as_drawn(body.mass, "g")) for body in bodies}


def cost_table(costs: tuple[Cost, ...], design: Design, speed: float) -> Table:
    """Return what a small step of every input changes, all else as it is, most inertia first."""
    head = ("Change of", *(axis(words, key) for _, words, key in NUMBERS))
    rows = sorted((_cost_row(cost, design) for cost in costs), key=_by_inertia)
    return Table(f"Sensitivities at {with_unit(speed, 'rpm', 4)}", head, tuple(rows))


def _by_inertia(row: tuple[Cell, ...]) -> float:
    """Return what puts a row of the costs in its place: the inertia's size, largest first."""
    inertia = row[1 + [name for name, _, _ in NUMBERS].index("inertia")]
    assert isinstance(inertia, float)
    return -abs(inertia)


def _cost_row(cost: Cost, design: Design) -> tuple[Cell, ...]:
    key, label = _unit_and_label(cost, design)
    step = STEPS[shown_system()][key]
    size = step * shown_unit(key).factor
    words = f"{'' if step == 1 else f'{step:g} '}{shown_unit(key).symbol}"
    slopes = (getattr(cost.slopes, name) * size for name, _, _ in NUMBERS)
    return (f"{label}, per {words}", *map(_clean, slopes, (key for _, _, key in NUMBERS)))


def _clean(value: float, key: str) -> float:
    """Return a difference as shown; rounding of the differences is nothing."""
    shown = value / shown_unit(key).factor
    return 0.0 if abs(shown) < 1e-4 else float(shown)


def _unit_and_label(cost: Cost, design: Design) -> tuple[str, str]:
    if cost.key in GRAMS:
        return "g", GRAM_WORDS[cost.key]
    declared: Declaration = group_field(design, cost.key)[2]
    return declared.unit.key, FULL_LABELS.get(cost.key, declared.label)


def layout_tables(balances: tuple[LayoutBalance, ...], speed: float) -> tuple[Table, Table]:
    """Return free forces, and free moments with the couple inside, of every layout."""
    sides = ("1st, with", "1st, against", "2nd, with", "2nd, against")
    at = f"at {with_unit(speed, 'rpm', 4)}"
    forces: tuple[tuple[Cell, ...], ...] = tuple(
        (balance.name, *_sides(balance.force, "kN")) for balance in balances
    )
    moments: tuple[tuple[Cell, ...], ...] = tuple(
        (balance.name, *_sides(balance.moment, "Nm"), float(as_drawn(balance.couple, "Nm")))
        for balance in balances
    )
    force, moment = shown_unit("kN").symbol, shown_unit("Nm").symbol
    return (
        Table(f"Free forces of the pistons, {force}, {at}", ("Layout", *sides), forces, 0),
        Table(
            f"Free moments of the pistons, {moment}, {at}",
            ("Layout", *sides, "Couple without counterweights"), moments, 0,
        ),
    )  # fmt: skip


def _sides(lefts: tuple[Left, ...], key: str) -> list[float]:
    both = [(left.forward, left.backward) for left in lefts]
    return [float(value) for value in as_drawn(np.array(both).ravel(), key)]


LAYOUT_NOTES = (
    "Each order has a part that rotates with the crank and one that rotates against it. "
    "Counterweights cancel the first-order part that rotates with the crank. The part against it "
    "needs a counter-rotating shaft; second order needs shafts at twice crank speed.",
    "Every layout has this design's pistons, rods, stroke and throw spacing. Couple without "
    "counterweights: of throws and big ends, which counterweights can balance.",
)
COST_NOTES = (
    "Each row: one input a small step larger, all others unchanged; largest effect on inertia "
    "first. Mass: bare shaft. Main load: peak of the most loaded main. Web bending: alternating "
    "nominal stress. Free force and moment: maximum amplitude of any order.",
)
