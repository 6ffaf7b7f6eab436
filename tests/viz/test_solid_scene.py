"""The solids as they are sent: read back, they are those of the core; results are the rungs'."""

import dataclasses
import json

import numpy as np
import pytest

from kinematics import load_demo, solve_cycle, with_value
from kinematics.design.allowables import allowable
from kinematics.limits.bearing_criteria import BearingParts
from kinematics.limits.piston_criteria import PistonParts
from kinematics.solid.mesh import Mesh
from kinematics.solid.simple_solids import block_of, hollow_cylinder
from kinematics.solid.train_solids import train_solids
from kinematics.units import UNITS
from viz.solid.shaded_mesh import shaded_mesh
from viz.solid.solid_results import solid_results
from viz.solid.solid_scene import solid_bytes, solid_source


def decoded(design):
    message = solid_bytes(design).tobytes()
    length = int(np.frombuffer(message[:4], "<u4")[0])
    header = json.loads(message[4 : 4 + length])
    return header, np.frombuffer(message[4 + length :], "<f4").astype(float)


@pytest.fixture(scope="module")
def sent():
    design = load_demo("hill_climb_six")
    return design, *decoded(design)


def meshes(header, floats):
    """Name, mesh and normals of each piece of each body."""
    for body in header["bodies"]:
        for piece in body["pieces"]:
            rows = {}
            for key in ("corners", "normals", "faces"):
                place, size = piece[key]
                rows[key] = floats[place : place + size].reshape(-1, 3)
            mesh = Mesh(rows["corners"], rows["faces"].astype(int))
            yield body["name"], mesh, rows["normals"]


def test_what_is_sent_has_the_volumes_of_the_solids(sent) -> None:
    design, header, floats = sent
    solids = train_solids(design)
    whole = sum(part.mesh.volume for part in solids.crankshaft)
    volumes = {}
    for name, mesh, _ in meshes(header, floats):
        volumes[name] = volumes.get(name, 0.0) + mesh.volume
    each = solids.per_cylinder
    wanted = {
        "piston": each["piston"].volume + each["rings"].volume,
        **{name: each[name].volume for name in ("piston pin", "rod", "rod cap")},
    }
    for name, volume in wanted.items():
        assert volumes[name] == pytest.approx(volume, rel=1e-5)
    shaft = sum(size for name, size in volumes.items() if name not in {*wanted, "bore"})
    assert shaft == pytest.approx(whole, rel=1e-5)


def test_normals_are_of_length_one_and_lean_little(sent) -> None:
    _, header, floats = sent
    for _, mesh, normals in meshes(header, floats):
        assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-5)
        first, second, third = mesh.triangles.transpose(1, 0, 2)
        flat = np.cross(second - first, third - first)
        size = np.linalg.norm(flat, axis=1, keepdims=True)
        real = size[:, 0] > 1e-12
        leaning = (flat / np.maximum(size, 1e-30))[:, None] * normals[mesh.faces]
        assert leaning.sum(axis=2)[real].min() > 0.8


def test_a_cylinder_is_smooth_round_and_sharp_at_its_ends() -> None:
    ring = shaded_mesh(hollow_cylinder(0.1, 0.04, 0.0, 0.05))
    flat = np.abs(ring.normals[:, 2]) > 0.999
    round_ = np.abs(ring.normals[:, 2]) < 1e-9
    assert np.all(flat | round_)
    assert len(ring.edges) == 4 * 64
    inward = np.sign((ring.corners * ring.normals)[round_, :2].sum(axis=1))
    assert set(inward) == {-1.0, 1.0}


def test_a_block_has_twelve_edges() -> None:
    low = np.array([(0, 0, 0), (1, 0, 0), (1, 1, 0), (0, 1, 0)], float)
    block = shaded_mesh(block_of(low, low + np.array((0, 0, 1))))
    assert len(block.edges) == 12
    assert len(block.corners) == 24


@pytest.mark.parametrize("name", ["hill_climb_six", "v6_60_six_throws"])
def test_results_are_those_of_the_rungs(name: str) -> None:
    """At the sheet's speed the largest over the cycle is the criterion's value."""
    design = load_demo(name)
    cycle = solve_cycle(design, UNITS["rpm"].from_si(design.layout.rated_speed))
    at = np.array([cycle.speed])
    bearings, pistons = BearingParts(cycle.train), PistonParts(cycle.train)
    wanted = {
        "big_end_specific_load": bearings.big_end_specific(at)[0],
        "main_specific_load": bearings.main_specific(at)[0],
        "small_end_pressure": pistons.small_end_pressure(at)[0],
    }
    loads = {
        "big_end_crank": cycle.train.big_end_crank.at(cycle.speed) / 1e3,
        "main_block": cycle.train.main_block.at(cycle.speed) / 1e3,
        "gas_force": cycle.forces.gas_force / 1e3,
        "side_thrust": cycle.forces.side_thrust / 1e3,
        "acceleration": cycle.motion.acceleration / 1e3,
    }
    assert {result["rung"] for result in solid_results(design)} == set(wanted)
    for result in solid_results(design):
        parts = [
            sum(
                factor * (loads[row] if component is None else loads[row][:, component])
                for row, component, factor in terms
            )
            for terms in result["components"]
        ]
        peak = np.hypot(*parts).max()
        assert peak * 1e6 == pytest.approx(wanted[result["rung"]], rel=1e-9)
        limit = allowable(design.limits, result["rung"]).value
        assert result["allowable"] * 1e6 == pytest.approx(limit)


def test_the_solids_follow_from_shapes_and_allowables_alone() -> None:
    design = load_demo("hill_climb_six")
    source = solid_source(design)
    assert solid_source(with_value(design, "piston.assembly_mass_g", 400.0)) != source  # inertia
    assert solid_source(with_value(design, "cylinder.compression_ratio", 11.0))[1:] == source[1:]
    assert solid_source(with_value(design, "rod.mass_g", 440.0)) == source
    for change in (("cylinder.stroke_mm", 80.0), ("crank_throw.pin_bore_mm", 20.0),
                   ("limits.main_specific_load_MPa", 61.0)):  # fmt: skip
        assert solid_source(with_value(design, *change)) != source


def test_a_design_without_sizes_has_no_results() -> None:
    design = dataclasses.replace(
        load_demo("inline_four"), big_end=None, main_bearing=None, piston_pin=None
    )
    assert solid_results(design) == []
    header, _ = decoded(design)
    assert {"rod", "piston", "crankshaft"} <= {body["kind"] for body in header["bodies"]}
