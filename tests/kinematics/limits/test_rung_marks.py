"""Marks and bands of rungs: marks go with their causes, a band holds the rung's own value.

The independent way for a band is the ladder of the design once the other model is chosen.
"""

import dataclasses
import math
from types import SimpleNamespace

import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import Design, DesignError
from kinematics.array import Array
from kinematics.limits.criterion import DIRECTIONS, OtherModels
from kinematics.limits.rung_band import Band, UseOverSpeed, band_by_other_models
from kinematics.limits.speed_limits import Rung, speed_limits
from tests.conftest import changed
from tests.demos import DEMOS, demo_ladder
from tests.kinematics.limits.lone_rung import lone_rung

HILL_CLIMB, TOURING = DEMOS["hill_climb_six"], DEMOS["touring_six"]


def marks(design: Design, key: str, fragment: str) -> list[str]:
    return [mark.what for mark in lone_rung(design, key).left_out if fragment in mark.what]


def rated(design: Design, speed: float) -> Design:
    return changed(changed(design, "layout", rated_speed=speed), "limits", red_line=None)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_mark_has_words_and_a_direction(stem):
    for one in demo_ladder(stem):
        for mark in one.left_out:
            assert mark.what[0].isupper(), mark
            assert not mark.what.endswith("."), mark
            assert mark.direction in DIRECTIONS, mark
            assert mark.words == f"{mark.what}; {mark.direction}."
        assert len(set(one.left_out)) == len(one.left_out)


WITHOUT_CURVE = dataclasses.replace(HILL_CLIMB, full_load=())
TITANIUM = changed(HILL_CLIMB, "rod_material", elastic_modulus=114e9)
THIN = changed(HILL_CLIMB, "main_bearing", groove_arc=math.radians(20))
FED = changed(
    changed(HILL_CLIMB, "crank_throw", oil_bore=18e-3), "oil", supply_pressure=30e5
)  # fmt: skip
UNCUT = {"web_chamfer_depth": 0.0, "web_pocket_depth": 0.0}
CAUSES = {  # key and words of a mark, a design with its cause, and the same without
    "groove": ("main_film", "groove", THIN, changed(THIN, "main_bearing", groove_arc=0.0)),
    "tabled": ("main_film", "groove", THIN, HILL_CLIMB),
    "parted": ("main_film", "groove", THIN, changed(THIN, "main_bearing", groove_arc=2 * math.pi)),
    "starved": ("big_end_film", "a full film", HILL_CLIMB, FED),
    "rigid": (
        "big_end_film", "Shells count as rigid", TOURING,
        changed(TOURING, "limits", full_load_from=TOURING.layout.rated_speed)),
    "edge": (
        "big_end_film", "edge film", HILL_CLIMB,
        changed(changed(HILL_CLIMB, "crank", main_loads="cut_at_mains"), "limits",
                big_end_film=0.4e-6)),
    "gas": ("pin_bending", "full-load curve", WITHOUT_CURVE, HILL_CLIMB),
    "trace": ("pin_bending", "trace", DEMOS["measured_six"], TOURING),
    "mode": ("shaft_stress", "second torsional mode", HILL_CLIMB, rated(HILL_CLIMB, 250.0)),
    "webs": ("pin_fillet", "Web lightening", TOURING, changed(TOURING, "shaft", **UNCUT)),
    "even share": (
        "shaft_stress", "Web lightening",
        changed(TOURING, "shaft", **UNCUT | {"web_relief": 0.2}),
        changed(TOURING, "shaft", **UNCUT)),
    "webs under mains": (
        "main_film", "Web lightening", TOURING,
        changed(TOURING, "crank", main_loads="cut_at_mains")),
    "cylinders": (
        "rod_fatigue", "Cylinders differ",
        changed(HILL_CLIMB, "firing", imep_spread=0.05), HILL_CLIMB),
    "heat": ("rod_yield", "one temperature", TITANIUM, HILL_CLIMB),
    "land": (
        "ring_lift", "land under the ring", HILL_CLIMB,
        changed(HILL_CLIMB, "top_ring", land_pressure=0.6)),
}  # fmt: skip


@pytest.mark.parametrize("cause", CAUSES)
def test_a_mark_goes_with_its_cause(cause):
    key, words, with_cause, without = CAUSES[cause]
    assert len(marks(with_cause, key, words)) == 1
    assert not marks(without, key, words)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_a_band_holds_the_rung_s_own_limit_and_value(stem):
    seen = 0
    for one in demo_ladder(stem):
        band = one.band
        if band is None:
            continue
        seen += 1
        assert band.own.limit == one.limit
        assert band.lowest.limit <= one.limit <= band.highest.limit
        assert band.least.value <= band.own.value <= band.most.value
        assert len({end.model for end in band.ends}) == len(band.ends)
    assert seen >= 5


OTHERS = [
    ("main_specific_load", "determinate shaft", ("crank", {"main_loads": "cut_at_mains"}), 1e-9),
    ("shaft_stress", "throw by Carter", ("torsion", {"throw_formula": "carter"}), 1e-9),
    ("pin_fillet", "throw by Zimanenko", ("torsion", {"throw_formula": "zimanenko"}), 1e-9),
    ("journal_fillet", "determinate shaft", ("crank", {"main_loads": "cut_at_mains"}), 1e-9),
    ("main_film", "determinate shaft", ("crank", {"main_loads": "cut_at_mains"}), 0.02),
    ("big_end_film", "finite-length fit", ("oil", {"film_model": "finite_length"}), 0.02),
    ("big_end_film", "short bearing", ("oil", {"film_model": "short_bearing"}), 0.02),
]


@pytest.mark.parametrize(("key", "model", "choice", "close"), OTHERS)
def test_an_end_is_the_ladder_s_once_that_model_is_chosen(key, model, choice, close):
    """Films, asked at few speeds, within 2 % in speed and exactly at the rated one."""
    group, values = choice
    band = demo_ladder("touring_six")[key].band
    end = next(end for end in band.ends if end.model == model)
    other = lone_rung(changed(TOURING, group, **values), key)
    assert end.limit == pytest.approx(other.limit, rel=close)
    at_rated = float(other.value[other.speed == TOURING.layout.rated_speed][0])
    assert end.value == pytest.approx(at_rated, rel=1e-9 if close < 1e-6 else 2e-3)


def test_a_load_factor_given_has_that_of_the_dimensions_beside_it():
    given = changed(TOURING, "rod_bolts", load_factor=0.3)
    band = lone_rung(given, "bolt_fatigue").band
    free = lone_rung(changed(TOURING, "rod_bolts", load_factor=None), "bolt_fatigue")
    assert [end.model for end in band.ends] == ["load factor as given", "load factor by dimensions"]
    assert band.ends[1].limit == pytest.approx(free.limit, rel=1e-9)
    assert free.band is None


def test_a_model_that_fails_is_left_out_of_the_band():
    one = demo_ladder("touring_six")["main_specific_load"]

    def peaks(times: float) -> SimpleNamespace:
        def main_specific(speed: Array) -> Array:
            if times == 0:
                raise DesignError("crank", "has no such model")
            return times * one.parts.main_specific(speed)

        parts = one.parts
        return SimpleNamespace(train=parts.train, design=parts.design, main_specific=main_specific)

    def band(**models: float) -> Band | None:
        others = OtherModels("own", {name: peaks(times) for name, times in models.items()})
        criterion = dataclasses.replace(
            one.criterion, value=lambda parts, speed: parts.main_specific(speed),
            band=lambda _parts: others,
        )  # fmt: skip
        return band_by_other_models(
            UseOverSpeed(criterion, one.parts, one.allowed.value, one.speed, one.value, one.over)
        )

    assert band(failing=0) is None
    assert band(same=1) is None
    found = band(failing=0, double=2)
    assert [end.model for end in found.ends] == ["own", "double"]
    assert found.ends[1].value == pytest.approx(2 * found.own.value, rel=1e-12)
    assert found.lowest.model == "double"


def test_a_model_may_be_values_over_speed():
    """Asked at few speeds: a film half as thick has its limit where twice the film is allowed."""
    one = demo_ladder("touring_six")["main_film"]
    halved = dataclasses.replace(
        one.criterion,
        band=lambda parts: OtherModels("own", values={"half": lambda at: parts.main_film(at) / 2}),
    )
    band = dataclasses.replace(one, criterion=halved).band
    allowed = 2 * one.allowed.value
    double = lone_rung(changed(TOURING, "limits", main_film=allowed), "main_film")
    assert [end.model for end in band.ends] == ["own", "half"]
    assert band.ends[1].limit == pytest.approx(double.limit, rel=2e-3)
    assert band.ends[1].value == pytest.approx(band.own.value / 2, rel=1e-3)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_an_edge_film_below_its_allowable_is_never_within(stem):
    ladder = demo_ladder(stem)
    for key in ("big_end_film", "main_film"):
        one = ladder[key]
        if any("edge film" in mark.what for mark in one.left_out):
            assert one.is_doubted
            assert ladder.verdict(one) in ("marginal", "over")
        else:
            assert not one.is_doubted


def test_nothing_of_a_ladder_without_marks_or_bands_is_computed_for_them(monkeypatch):
    asked = []
    for name in ("left_out", "band"):
        monkeypatch.setattr(Rung, name, property(lambda _self, name=name: asked.append(name) or ()))
    speed_limits.__wrapped__(TOURING)
    assert not asked


@pytest.mark.parametrize("key", ["shaft_stress", "pin_fillet"])
def test_a_throw_outside_the_sizes_of_finite_elements_is_marked(key):
    outside = changed(HILL_CLIMB, "crank_throw", web_thickness=0.0075)
    assert marks(HILL_CLIMB, key, "finite elements") == []
    (words,) = marks(outside, key, "finite elements")
    assert "web thickness over crank radius must be 0.25 to 0.8 (got 0.192)" in words
