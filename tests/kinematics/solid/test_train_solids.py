"""Solids against the bodies that are weighed, and against a general geometry library."""

import math

import numpy as np
import pytest
import trimesh

from kinematics import load_demo, shaft_geometry
from kinematics.design.shaft_throw import shaft_density
from kinematics.mechanics.part_shapes import WebShape
from kinematics.mechanics.web_lightening import WebCuts, WebPlate, chamfer_cut, flat_web, pocket_cut
from kinematics.mechanics.web_outline import web_outline
from kinematics.shaft.part_geometry import part_geometry
from kinematics.solid.crankshaft_solid import SolidPart, crankshaft_solids
from kinematics.solid.mesh import Mesh
from kinematics.solid.simple_solids import hollow_cylinder
from kinematics.solid.train_solids import assembled, train_solids
from kinematics.solid.web_solid import web_solid
from kinematics.train.cycle import solve_cycle

DEMOS = ("hill_climb_six", "touring_six", "pilot_boat_six", "v6_60_six_throws", "inline_four")
NEAR = 0.005  # of a volume; a polygon of 64 corners is 0.16 % smaller than its circle


def as_trimesh(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


def assert_closed(mesh: Mesh) -> None:
    """Each edge belongs to two triangles, once in each direction, and outside is outward."""
    faces = mesh.faces
    edges = np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])
    there, back = (
        {tuple(edge) for edge in edges.tolist()},
        {tuple(edge) for edge in edges[:, ::-1].tolist()},
    )
    assert len(there) == len(edges)
    assert there == back
    assert mesh.volume > 0


@pytest.fixture(scope="module", params=DEMOS)
def design(request):
    return load_demo(request.param)


def test_shaft_solids_are_the_bodies_that_are_weighed(design) -> None:
    bodies = {body.name: body for body in shaft_geometry(design).bodies}
    density = shaft_density(design)
    solids = crankshaft_solids(design)
    weighed = {name for name, body in bodies.items() if body.kind != "oil drilling"}
    assert {part.name for part in solids} == weighed
    for part in solids:
        body = bodies[part.name]
        heavy = density * (1 - design.shaft.web_relief if part.kind == "web" else 1)
        x, y, z = part.mesh.first_moment * heavy
        mass = part.mesh.volume * heavy
        assert mass == pytest.approx(body.mass, rel=NEAR)
        assert part.mesh.polar * heavy == pytest.approx(body.inertia, rel=NEAR)
        assert -z / mass == pytest.approx(body.z, abs=2e-5)
        reach = mass * design.cylinder.crank_radius
        assert complex(y, x) == pytest.approx(body.moment, abs=NEAR * reach)


def test_all_solids_are_closed_and_outward(design) -> None:
    solids = train_solids(design)
    for mesh in (*(part.mesh for part in solids.crankshaft), *solids.per_cylinder.values(),
                 solids.bore):  # fmt: skip
        assert_closed(mesh)


def test_moments_agree_with_a_general_library() -> None:
    for part in assembled(load_demo("v6_60_six_throws"), 0.7)[::9]:
        other = as_trimesh(part.mesh)
        assert other.is_winding_consistent
        assert part.mesh.volume == pytest.approx(other.volume, rel=1e-6)
        centre = part.mesh.first_moment / part.mesh.volume
        assert centre == pytest.approx(other.center_mass, abs=1e-7)
        about_own = other.moment_inertia[2, 2]
        polar = about_own + other.volume * (centre[0] ** 2 + centre[1] ** 2)
        assert part.mesh.polar == pytest.approx(polar, rel=1e-5)


@pytest.mark.parametrize(
    "cuts",
    [
        WebCuts(),
        WebCuts(chamfer_depth=0.03, chamfer_angle=math.radians(50)),
        WebCuts(pocket_diameter=0.02, pocket_depth=0.008, pocket_height=0.03),
        WebCuts(0.035, math.radians(40), 0.024, 0.009, 0.035),
    ],
)
def test_web_with_its_cuts(cuts: WebCuts) -> None:
    plate = WebPlate(0.035, 0.0275, 0.039, 0.020)
    web = WebShape(
        plate.thickness, plate.main_radius, plate.pin_radius, (0.0,), cuts.chamfer_start(plate),
        cuts.chamfer_end(plate), cuts.pocket_diameter / 2, cuts.pocket_depth, cuts.pocket_height,
    )  # fmt: skip
    solid = web_solid(web, plate.crank_radius)
    outline = web_outline(plate.main_radius, plate.pin_radius, plate.crank_radius)
    left = (
        flat_web(outline, plate.thickness)
        + (chamfer_cut(plate, cuts) + pocket_cut(plate, cuts)) * -1.0
    )
    assert solid.volume == pytest.approx(left.volume, rel=NEAR)
    assert solid.polar == pytest.approx(left.polar, rel=NEAR)
    first = solid.first_moment
    assert first[1] == pytest.approx(left.first, rel=NEAR)
    assert first[2] == pytest.approx(left.along, rel=NEAR)
    assert as_trimesh(solid).is_watertight


def test_a_cylinder_against_its_formula() -> None:
    ring = hollow_cylinder(0.06, 0.02, -0.01, 0.03)
    assert ring.volume == pytest.approx(math.pi / 4 * (0.06**2 - 0.02**2) * 0.04, rel=0.002)
    assert ring.first_moment[2] / ring.volume == pytest.approx(0.01)


def named(parts: tuple[SolidPart, ...], name: str) -> Mesh:
    return next(part.mesh for part in parts if part.name == name)


def test_the_assembled_train_holds_together_at_any_angle(design) -> None:
    """A rod's big end is on its crankpin, its eye on the piston pin, the piston as high as told."""
    cycle = solve_cycle(design, 100.0)
    shapes = part_geometry(design)
    across, along, _ = _centre(train_solids(design).per_cylinder["rod"])
    for step in (0, 71, 250, 499):
        angle = float(cycle.crank_angle[step])
        parts = assembled(design, angle)
        for number, place in enumerate(shapes.cylinders, 1):
            crankpin, pin, piston = (
                _centre(named(parts, f"{name} {count}"))
                for name, count in (
                    ("crankpin", place.throw), ("piston pin", number), ("rings", number),
                )
            )  # fmt: skip
            apart = math.dist(crankpin[:2], pin[:2])
            assert apart == pytest.approx(design.cylinder.rod_length, rel=1e-6)
            up = (pin - crankpin)[:2] / apart
            rod = (_centre(named(parts, f"rod {number}")) - crankpin)[:2]
            assert rod @ up == pytest.approx(along, abs=1e-6)
            assert rod @ (up[1], -up[0]) == pytest.approx(across, abs=1e-6)
            axis = np.array([math.sin(place.bank_angle), math.cos(place.bank_angle)])
            height = shapes.top - cycle.motion.displacement[number - 1, step]
            assert pin[:2] @ axis == pytest.approx(height, abs=1e-6)
            assert abs(piston[:2] @ (axis[1], -axis[0])) < 1e-6
            assert pin[2] == pytest.approx(-place.z, abs=1e-9)


def _centre(mesh: Mesh) -> np.ndarray:
    return mesh.first_moment / mesh.volume
