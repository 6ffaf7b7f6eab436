"""Random designs for property tests: every slider anywhere, any layout that can fire."""

import dataclasses
import math
from typing import Any

from hypothesis import assume
from hypothesis import strategies as st

from kinematics import Cycle, Design, DesignError, solve_cycle
from kinematics.declaration import Declaration, declarations
from kinematics.design.design import Counterweight, Layout
from kinematics.mechanics.slider_crank import SliderCrank
from kinematics.units import UNITS
from tests.conftest import layout_of, six

UNBALANCES = st.sampled_from((0.0, 5.0, 18.0)).map(UNITS["kg_mm"].to_si)
DEGREES = st.integers(0, 23).map(lambda fifteens: 15.0 * fifteens)


def slider_value(declared: Declaration) -> st.SearchStrategy[float]:
    """A value [SI] within a field's slider, of few enough digits to be typed."""
    low, high, _ = declared.slider or (declared.low, declared.high, 0.0)
    floats = st.floats(low, high, allow_nan=False)
    shown = floats.map(lambda value: float(f"{value:.9g}") if abs(value) > 1e-9 else 0.0)
    return shown.filter(lambda value: low <= value <= high).map(declared.unit.to_si)


@st.composite
def slider_cranks(draw: st.DrawFn) -> SliderCrank:
    """Any slider-crank that turns, pin offset included."""
    radius = draw(st.floats(0.01, 0.5))
    length = radius * draw(st.floats(2.0, 8.0))
    return SliderCrank(radius, length, radius * draw(st.floats(-0.5, 0.5)))


@st.composite
def layouts(draw: st.DrawFn, *, strokes: int | None = None) -> Layout:
    """Any layout, banked or not, with one or two cylinders on a throw."""
    throws = draw(st.integers(1, 6))
    angles = [0.0, *(draw(DEGREES) for _ in range(throws - 1))]
    on_throw = [draw(st.integers(1, 2)) for _ in range(throws)]
    pins = [throw for throw, count in enumerate(on_throw, 1) for _ in range(count)]
    banks = [draw(st.sampled_from((0.0, 45.0, 60.0, 90.0, 180.0, -45.0))) for _ in pins]
    try:
        return layout_of(
            angles,
            throw_of_cylinder=pins,
            bank_angle_deg=banks,
            strokes=strokes or draw(st.sampled_from((2, 4))),
            spacing=draw(st.integers(700, 2000).map(lambda tenths: UNITS["mm"].to_si(tenths / 10))),
        )
    except DesignError:
        assume(False)
        raise


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """Any allowed design within the sliders; counterweights anywhere."""
    layout = draw(layouts())
    base = six()
    groups: dict[str, Any] = {}
    for group in ("cylinder", "piston", "rod", "pressure", "big_end", "main_bearing", "oil"):
        record = getattr(base, group)
        values = {
            name: draw(slider_value(declared))
            for name, _, declared in declarations(record)
            if declared.kind == "number" and (declared.slider or not declared.optional)
        }
        groups[group] = (record, values)
    try:
        records = {name: dataclasses.replace(one, **new) for name, (one, new) in groups.items()}
        crank = dataclasses.replace(base.crank, throw_unbalance=draw(UNBALANCES))
        return Design(
            layout=layout, crank=crank, counterweights=draw(counterweights(layout)), **records
        )
    except DesignError:
        assume(False)
        raise


@st.composite
def counterweights(draw: st.DrawFn, layout: Layout) -> tuple[Counterweight, ...]:
    """Up to four counterweights on any webs."""
    webs = st.integers(1, 2 * layout.throws)
    weight = st.builds(
        Counterweight,
        web=webs,
        unbalance=UNBALANCES,
        angle=DEGREES.map(math.radians),
    )
    return tuple(draw(st.lists(weight, max_size=4)))


def solved(design: Design, rpm: float) -> Cycle:
    """The cycle of a design whose peak pressure can be reached; others are passed over."""
    cycle = solve_cycle(design, rpm)
    try:
        assert cycle.train.pressure.courses.size
    except DesignError:
        assume(False)
    return cycle
