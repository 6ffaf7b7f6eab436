"""A design is a value that checks itself: every field, every bound, every cross-check."""

import copy
import dataclasses
import math
import pickle
from collections.abc import Iterator

import pytest

from kinematics import Design, DesignError, solve_cycle, with_value
from kinematics.declaration import Declaration, declarations
from kinematics.design.design import Counterweight, Layout
from kinematics.design.design_field import group_field
from tests.conftest import GROUPS, changed, layout_of, six, tried


def number_fields() -> Iterator[tuple[str, str, Declaration]]:
    """(group, attribute, declaration) of every single number in a design."""
    for group in GROUPS:
        for attribute, _, declared in declarations(getattr(six(), group)):
            if declared.kind == "number" and not declared.many:
                yield group, attribute, declared


FIELDS = [pytest.param(*one, id=f"{one[0]}.{one[1]}") for one in number_fields()]
NEVER = (math.nan, math.inf, -math.inf, 1e308, -1e308, 10**400, "1", None, True, [1.0])


def key_of(group: str, attribute: str, declared: Declaration) -> str:
    return (
        f"{group}.{attribute}_{declared.unit.key}" if declared.unit.key else f"{group}.{attribute}"
    )


@pytest.mark.parametrize(("group", "attribute", "declared"), FIELDS)
def test_what_no_field_takes(group: str, attribute: str, declared: Declaration) -> None:
    key = key_of(group, attribute, declared)
    for value in NEVER:
        if value is None and declared.optional:
            continue
        with pytest.raises(DesignError) as caught:
            changed(six(), group, **{attribute: value})
        assert caught.value.field == key
        if not declared.optional or value is not None:
            assert f"{declared.low:g} to {declared.high:g}" in caught.value.message


@pytest.mark.parametrize(("group", "attribute", "declared"), FIELDS)
def test_just_beyond_a_bound(group: str, attribute: str, declared: Declaration) -> None:
    """A little outside is refused with the range; a little inside passes this field's check."""
    key, span = key_of(group, attribute, declared), declared.high - declared.low
    little = 1e-6 * span
    for shown in (declared.low - little, declared.high + little):
        with pytest.raises(DesignError) as caught:
            with_value(six(), key, shown)
        assert caught.value.field == key
        assert declared.allowed in caught.value.message
    for shown in (declared.low, declared.low + little, declared.high - little, declared.high):
        found = tried(lambda: with_value(six(), key, shown))  # noqa: B023
        if isinstance(found, DesignError):
            assert declared.allowed not in found.message, key  # refused by another rule
        else:
            back = declared.unit.from_si(getattr(getattr(found, group), attribute))
            assert back == pytest.approx(shown, rel=1e-11)


@pytest.mark.parametrize(("group", "attribute", "declared"), FIELDS)
def test_zero_and_negative(group: str, attribute: str, declared: Declaration) -> None:
    key = key_of(group, attribute, declared)
    for shown in (0.0, -1.0):
        if declared.low <= shown <= declared.high:
            assert with_value(six(), key, shown) is not None
        else:
            with pytest.raises(DesignError, match="must be"):
                with_value(six(), key, shown)


@pytest.mark.parametrize(("group", "attribute", "declared"), FIELDS)
def test_declarations_are_whole(group: str, attribute: str, declared: Declaration) -> None:
    """Bounds in order, the slider within them, the example within the slider, a label to read."""
    assert -math.inf < declared.low < declared.high < math.inf
    assert declared.label
    if declared.slider is None:
        return
    low, high, step = declared.slider
    assert declared.low <= low < high <= declared.high
    assert 0 < step < high - low
    value = getattr(getattr(six(), group), attribute)
    assert value is None or low <= declared.unit.from_si(value) <= high


@pytest.mark.parametrize(("group", "attribute", "declared"), FIELDS)
def test_slider_ends_make_a_design_or_a_design_error(group, attribute, declared) -> None:
    for shown in (declared.slider or (declared.low, declared.high))[:2]:
        key = key_of(group, attribute, declared)
        found = tried(lambda: solve_cycle(with_value(six(), key, shown), 6000).mean_torque)  # noqa: B023
        if isinstance(found, DesignError):
            assert found.field
            assert found.message
        else:
            assert math.isfinite(found)


@pytest.mark.parametrize(
    ("key", "shown", "field", "words"),
    [
        ("cylinder.rod_length_mm", 43.5, "cylinder.rod_length_mm", "43.88 mm"),
        ("cylinder.stroke_mm", 300.0, "cylinder.rod_length_mm", "for the crank to turn"),
        ("rod.cg_from_big_end_mm", 145.1, "rod.cg_from_big_end_mm", "0 to the rod length, 145 mm"),
        ("crank.web_offset_mm", 50.0, "crank.web_offset_mm", "at most half the throw spacing, 49"),
        ("layout.throw_spacing_mm", 40.0, "crank.web_offset_mm", "20 mm"),
    ],
)
def test_rules_between_fields(key: str, shown: float, field: str, words: str) -> None:
    with pytest.raises(DesignError) as caught:
        with_value(six(), key, shown)
    assert caught.value.field == field
    assert words in caught.value.message


def test_offset_beyond_reach_is_refused() -> None:
    with pytest.raises(DesignError, match=r"rod_length_mm.*for the crank to turn"):
        changed(six(), "cylinder", rod_length=0.060, pin_offset=0.020)


def test_unknown_fields_are_refused() -> None:
    for key in ("cylinder.girth_mm", "nothing.bore_mm", "cylinder", "", "name", "x" * 10_000):
        with pytest.raises(DesignError, match="no such field"):
            group_field(six(), key)


@pytest.mark.parametrize(
    ("values", "field"),
    [
        ({"strokes_per_cycle": 3}, "layout.strokes_per_cycle"),
        ({"strokes_per_cycle": 4.0}, "layout.strokes_per_cycle"),
        ({"strokes_per_cycle": True}, "layout.strokes_per_cycle"),
        ({"throw_angles": (0.1, 0.0, 1.0, 1.0, 0.0, 0.0)}, "layout.throw_angles_deg"),
        ({"throw_angles": ()}, "layout.throw_angles_deg"),
        ({"throw_angles": (0.0,) * 25}, "layout.throw_angles_deg"),
        ({"throw_angles": [0.0]}, "layout.throw_angles_deg"),
        ({"throw_angles": (0.0, math.nan)}, "layout.throw_angles_deg"),
        ({"throw_of_cylinder": ()}, "layout.throw_of_cylinder"),
        ({"throw_of_cylinder": (1,) * 25}, "layout.throw_of_cylinder"),
        ({"throw_of_cylinder": (1, 2, 3, 4, 5, 5)}, "layout.throw_of_cylinder"),
        ({"throw_of_cylinder": (2, 1, 3, 4, 5, 6)}, "layout.throw_of_cylinder"),
        ({"bank_angle": (0.0,) * 5}, "layout.bank_angle_deg"),
        ({"firing_order": (1, 5, 3, 6, 2)}, "layout.firing_order"),
        ({"firing_order": (5, 3, 6, 2, 4, 1)}, "layout.firing_order"),
        ({"firing_order": (1, 5, 3, 6, 2, 2)}, "layout.firing_order"),
        ({"firing_order": (1, 6, 5, 2, 3, 4)}, "layout.firing_order"),
        ({"firing_order": ()}, "layout.firing_order"),
    ],
)
def test_layouts_that_cannot_be(values: dict[str, object], field: str) -> None:
    with pytest.raises(DesignError) as caught:
        dataclasses.replace(six().layout, **values)
    assert caught.value.field == field


def test_counterweights_beyond_the_last_web_are_refused() -> None:
    weight = Counterweight(web=13, unbalance=0.01, angle=0.0)
    with pytest.raises(DesignError, match=r"counterweight\.web: must be 1 to 12 \(got 13\)"):
        dataclasses.replace(six(), counterweights=(weight,))


def test_the_model_says_what_it_misses() -> None:
    for attribute in ("intake", "exhaust", "peak", "peak_angle", "compression_exponent"):
        with pytest.raises(DesignError, match=rf"pressure\.{attribute}.*is missing"):
            changed(six(), "pressure", **{attribute: None})


def test_a_trace_is_needed_where_it_is_named() -> None:
    with pytest.raises(DesignError, match=r'pressure\.file: is missing: source = "trace"'):
        changed(six(), "pressure", source="trace")


def test_an_optional_group_says_what_needs_it() -> None:
    bare = dataclasses.replace(six(), oil=None)
    with pytest.raises(DesignError, match="oil: is missing in the design: the oil film needs it"):
        bare.needed("oil", "the oil film")
    assert six().needed("oil", "the oil film") == six().oil


def test_designs_are_values() -> None:
    one, other = six(), six()
    assert one == other
    assert hash(one) == hash(other)
    assert copy.deepcopy(one) == pickle.loads(pickle.dumps(one)) == one
    assert with_value(one, "cylinder.bore_mm", 87.0) != one
    with pytest.raises(dataclasses.FrozenInstanceError):
        one.name = "x"  # type: ignore[misc]


def test_design_errors_pickle() -> None:
    error = DesignError("cylinder.bore_mm", "must be 20 to 600 mm (got 1 mm)")
    back = pickle.loads(pickle.dumps(error))
    assert (back.field, back.message, str(back)) == (error.field, error.message, str(error))
    assert str(DesignError("", "no field")) == "no field"


def test_firing_angles_fold_the_cycle() -> None:
    from kinematics.mechanics.firing_order import firing_angles, upright_angles

    layout: Layout = six().layout
    assert [round(math.degrees(a)) for a in firing_angles(layout)] == [0, 480, 240, 600, 120, 360]
    assert [round(math.degrees(a)) for a in upright_angles(layout)] == [0, 120, 240, 240, 120, 0]
    banked = layout_of((0,), throw_of_cylinder=(1, 1), bank_angle_deg=(-45, 45))
    assert [round(math.degrees(a)) for a in firing_angles(banked)] == [0, 90]


def test_four_cylinders_cannot_share_a_dead_centre() -> None:
    with pytest.raises(DesignError, match="cannot fire in the order"):
        layout_of((0, 0, 0), firing_order=(1, 2, 3))
    with pytest.raises(DesignError, match="within one cycle of 360°"):
        layout_of((0, 0), firing_order=(1, 2), strokes=2)


def test_names_are_short(base: Design) -> None:
    with pytest.raises(
        DesignError, match="name: must be text of at most 120 characters \\(got 121\\)"
    ):
        dataclasses.replace(base, name="x" * 121)
