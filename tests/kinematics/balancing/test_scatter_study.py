"""The tolerance study: what is held against the grade, and how many shafts are beyond it."""

import dataclasses
import math

import numpy as np
import pytest
from scipy.stats import norm

from assets_demo import demo_paths
from kinematics import DesignError, load_design
from kinematics.balancing.balance_scatter import Spread, Spreads
from kinematics.balancing.bob_weights import pin_bob_weights
from kinematics.balancing.scatter_study import scatter_study

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
HILL, V6 = DEMOS["Hill climb six"], DEMOS["V6 60 six throws"]
SPREADS = Spreads(throw_moment=Spread(50e-6), counterweight_moment=Spread(60e-6))
SAMPLES = 40_000


def test_a_shaft_is_beyond_as_often_as_the_normal_distribution_says():
    """With one counterweight the residual runs along a line in each plane, m + h e x.

    It is within where |m + h e x| <= U: x between the roots of a quadratic, in both planes.
    """
    one = dataclasses.replace(HILL, counterweights=HILL.counterweights[:1])
    size = 15e-3
    spreads = Spreads(counterweight_moment=Spread(size))
    study = scatter_study(one, spreads, "G4000", samples=SAMPLES)
    planes = study.tolerance.planes
    z = -2.5 * HILL.layout.throw_spacing - HILL.crank.web_offset
    rear = (z - planes.front) / planes.span
    along = np.exp(1j * HILL.counterweights[0].angle) * np.array([1 - rear, rear])
    low, high = -math.inf, math.inf
    for m, e, most in zip(study.scatter.residual.mean, along, study.tolerance.amounts, strict=True):
        roots = np.roots([abs(e) ** 2, 2 * (m * np.conj(e)).real, abs(m) ** 2 - most**2])
        low, high = max(low, roots.real.min()), min(high, roots.real.max())
    expected = 1 - (norm.cdf(high / size) - norm.cdf(low / size))
    assert 0.05 < expected < 0.95
    error = math.sqrt(expected * (1 - expected) / SAMPLES)
    assert study.to_drill == pytest.approx(expected, abs=5 * error)
    assert study.to_drill_error == pytest.approx(error, rel=0.05)


def test_nothing_scatters_and_nothing_is_to_drill():
    study = scatter_study(HILL, Spreads(), "G16", samples=5)
    assert study.to_drill == study.to_drill_error == 0
    np.testing.assert_allclose(study.residual_percentiles, 0, atol=1e-12)


def test_a_finer_grade_leaves_more_to_drill():
    coarse, fine = (scatter_study(HILL, SPREADS, g, samples=4000) for g in ("G40", "G16"))
    assert coarse.to_drill < fine.to_drill
    assert np.all(coarse.sizes == fine.sizes)
    beyond = (fine.sizes > fine.tolerance.amounts).any(axis=1)
    assert fine.to_drill == pytest.approx(beyond.mean(), abs=1e-12)


def test_a_v_engines_shaft_is_far_beyond_without_bob_weights():
    assert scatter_study(V6, SPREADS, "G16", samples=100).to_drill == 1
    assert scatter_study(V6, SPREADS, "G16", samples=100, bob_share=0.5).to_drill < 1


def test_a_pins_bob_weight_is_the_sum_of_its_parts():
    for one in pin_bob_weights(V6, 0.5, 0.004):
        assert one.rods == 1
        assert one.big_end + one.small_end == pytest.approx(V6.rod.mass, rel=1e-12)
        expected = one.big_end + 0.5 * (V6.piston.assembly_mass + one.small_end) + 0.004
        assert one.mass == pytest.approx(expected, rel=1e-12)
    assert [one.throw for one in pin_bob_weights(V6)] == [1, 2, 3, 4, 5, 6]


def test_two_rods_on_a_pin_count_both_and_the_oil_once():
    layout = dataclasses.replace(
        V6.layout, throw_angles=(0.0, *np.radians([240.0, 120.0])),
        throw_of_cylinder=(1, 1, 2, 2, 3, 3),
    )  # fmt: skip
    shared = dataclasses.replace(V6, layout=layout, counterweights=())
    single, double = pin_bob_weights(V6, 0.5)[0], pin_bob_weights(shared, 0.5, 0.01)
    assert [one.rods for one in double] == [2, 2, 2]
    assert double[0].mass == pytest.approx(2 * single.mass + 0.01, rel=1e-12)


@pytest.mark.parametrize(
    ("options", "words"),
    [({"share": 1.1}, "0 to 1"), ({"share": math.nan}, "0 to 1"), ({"oil": -0.001}, "0 to 1000"),
     ({"oil": math.nan}, "0 to 1000"), ({"oil": 2.0}, "0 to 1000")],
)  # fmt: skip
def test_a_bob_weight_that_cannot_be_is_refused(options, words):
    with pytest.raises(DesignError, match=words):
        pin_bob_weights(V6, **options)


def test_an_unknown_grade_is_refused():
    with pytest.raises(DesignError, match="G16"):
        scatter_study(HILL, SPREADS, "G1", samples=5)
