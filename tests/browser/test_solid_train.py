"""The crank train in space in a real browser: what it draws, its arrows, its colours."""

import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from kinematics.limits.bearing_criteria import BearingParts
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.torsion_train import chain_response, torsional_chain
from kinematics.train.bearing_loads import Turn, turned
from kinematics.train.continuous_shaft import pin_nodes
from kinematics.units import UNITS
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_drawn

pytestmark = pytest.mark.browser

DRAWN = "window.sixthrow.solid?.frames > 0"
SETTLED = "() => { const s = window.sixthrow.solid; return !s.isAsked && s.frames > 0; }"
ARROWS = """angle => {
  const { solid } = window.sixthrow;
  solid.show({ ...solid.shown, angle,
    arrows: { gas: true, inertia: true, rod: true, side: true, mains: true } });
  return solid.arrows;
}"""
REACH = """Math.max(...window.sixthrow.solid.solids.bodies
  .find(({ kind }) => kind === "crankpin").pieces[0].corners.filter((_, i) => i % 3 === 1))"""
PARTS = """() => {
  const { solid } = window.sixthrow;
  const always = solid.parts.filter(({ of }) => of !== "rigid shaft");
  return always.map(({ kind, actor }) => [kind, actor.getVisibility()]);
}"""
UNDER = """([kind, number]) => {
  const { solid } = window.sixthrow;
  const box = solid.host.getBoundingClientRect();
  for (let x = 4; x < box.width; x += 6) for (let y = 4; y < box.height; y += 6) {
    const [clientX, clientY] = [box.left + x, box.top + y];
    const part = solid.partAt({ clientX, clientY });
    if (part?.kind === kind && part.number === number) return [clientX, clientY];
  }
  return null;
}"""


MOTIONS = """angle => {
  const { solid } = window.sixthrow;
  solid.show({ ...solid.shown, angle, deflected: { which: "both", factor: 1000 } });
  return [...solid.motions];
}"""
FRONT_FACE = """() => {
  const { solid } = window.sixthrow;
  const part = solid.parts.find(({ kind, number }) => kind === "main journal" && number === 1);
  const mean = (values) => [0, 1].map((axis) => {
    const own = Array.from(values).filter((_, i) => i % 3 === axis);
    return own.reduce((sum, value) => sum + value, 0) / own.length;
  });
  return [mean(part.data.getPoints().getData()), mean(part.rest)];
}"""


@pytest.fixture(scope="module")
def solid(context, address):
    """One page that shows the train in space, for all tests that leave it so."""
    page, seen = open_page(context, f"{address}train", wait_until_drawn)
    page.keyboard.press("d")
    page.wait_for_function(DRAWN)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def cycle():
    design = load_design(next(iter(demo_paths().values())))
    return solve_cycle(design, UNITS["rpm"].from_si(design.layout.rated_speed))


def test_nothing_of_it_is_loaded_before_it_is_asked_for(opened_once) -> None:
    page, _ = opened_once
    assert page.evaluate("() => window.vtk === undefined")
    assert page.evaluate("() => window.sixthrow.solid === undefined")


def test_pointing_at_its_button_fetches_what_it_takes(context, address) -> None:
    page, seen = open_page(context, f"{address}train", wait_until_drawn)
    page.get_by_role("button", name="3-D").hover()
    page.wait_for_function("window.vtk !== undefined")
    assert page.evaluate("() => window.sixthrow.solid === undefined")
    assert not seen.errors
    page.close()


def test_on_a_phone_a_button_on_the_picture_shows_it(context, address) -> None:
    page, seen = open_page(context, "about:blank", lambda _: None)
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto(f"{address}train")
    wait_until_drawn(page)
    page.get_by_role("button", name="3-D").click()
    page.wait_for_function(DRAWN)
    box = page.locator(".solid").bounding_box()
    assert box["height"] >= 100
    assert box["y"] + box["height"] < 844 / 2
    page.get_by_role("button", name="3-D").click()
    assert page.locator(".solid").is_hidden()
    assert not seen.errors
    page.close()


def test_arrow_tips_are_the_forces_of_the_cycle(solid, cycle) -> None:
    page, _ = solid
    parts = part_geometry(cycle.design)
    main = cycle.train.main_block.at(cycle.speed)
    for degrees in range(0, 720, 60):
        arrows = page.evaluate(ARROWS, degrees)
        found = {(arrow["cause"], arrow["on"]): arrow for arrow in arrows}
        by = {key: np.subtract(one["to"], one["from"]) for key, one in found.items()}
        scale = np.linalg.norm(by["gas", 0]) / abs(cycle.forces.gas_force[0, degrees])
        for c in range(6):
            gas, inertia = (
                getattr(cycle.forces, row)[c, degrees] for row in ("gas_force", "inertia_force")
            )
            assert by["gas", c] == pytest.approx([0, -gas * scale, 0], abs=2e-5)
            assert by["inertia", c] == pytest.approx([0, -inertia * scale, 0], abs=2e-5)
        rod, lean = cycle.forces.rod_force[0, degrees], cycle.motion.rod_angle[0, degrees]
        wanted = rod * scale * np.array([math.sin(lean), -math.cos(lean), 0])
        assert by["rod", 0] == pytest.approx(wanted, abs=2e-5)
        side = cycle.forces.side_thrust[0, degrees]
        assert by["side", 0] == pytest.approx([-side * scale, 0, 0], abs=2e-5)
        for m, z in enumerate(parts.main_journal.z):
            x, y = main[m, :, degrees]
            assert by["mains", m] == pytest.approx([x * scale, y * scale, 0], abs=2e-5)
            assert found["mains", m]["from"] == pytest.approx([0, 0, -z])


def test_the_shafts_sections_move_as_the_core_says(solid, cycle) -> None:
    """Mains and pins at twelve angles: the frame's shifts, and the twist of the torsional chain."""
    page, seen = solid
    page.keyboard.press("m")
    page.wait_for_function("window.sixthrow.solid.motions")
    shaft = cycle.train.continuous_shaft
    to_throw = Turn(np.sin(cycle.crank_angle), np.cos(cycle.crank_angle))
    mains = turned(shaft.deflection.at(cycle.speed), to_throw)
    pins = shaft.deflected.displacement[pin_nodes(cycle.design), :2]
    loads = np.concatenate([
        shaft.pins.at(cycle.speed).reshape(-1, len(cycle.crank_angle)),
        np.full((1, len(cycle.crank_angle)), cycle.speed**2),
    ])  # fmt: skip
    pin_turn = shaft.deflected.displacement[pin_nodes(cycle.design), 5] @ loads
    angle = np.array(cycle.design.layout.throw_angles)
    radius = part_geometry(cycle.design).crank_radius
    chain = torsional_chain(cycle.train)
    response = chain_response(cycle.train, chain, np.array([cycle.speed]))
    twist = response.angle[0, :, chain.first_throw : -1] - response.angle[0, :, -1:]
    for degrees in range(0, 720, 60):
        found = np.reshape(page.evaluate(MOTIONS, degrees), (-1, 6))
        assert found[0::4, :2] == pytest.approx(mains[..., degrees], abs=2e-9)
        wanted = pins @ loads[:, degrees]
        wanted[:, 0] += pin_turn[:, degrees] * radius * np.cos(angle)
        wanted[:, 1] -= pin_turn[:, degrees] * radius * np.sin(angle)
        assert found[2::4, :2] == pytest.approx(wanted, abs=2e-9)
        waves = np.exp(1j * response.order * math.radians(degrees))
        assert found[2::4, 5] == pytest.approx(-(waves @ twist).real, abs=1e-7)
    now, rest = page.evaluate(FRONT_FACE)
    assert np.hypot(*np.subtract(now, rest)) > 1e-3
    plays_in_silence(page, seen)
    page.keyboard.press("m")
    now, rest = page.evaluate(FRONT_FACE)
    assert now == rest
    assert not seen.errors


def test_a_picked_pin_says_the_rungs_number(solid, cycle) -> None:
    page, _ = solid
    page.evaluate("() => window.sixthrow.solid.show({ ...window.sixthrow.solid.shown, angle: 0 })")
    page.wait_for_function(SETTLED)
    place = page.evaluate(UNDER, ["main journal", 1])
    page.mouse.click(*place)
    told = page.locator(".solid-told")
    told.wait_for()
    main = np.linalg.norm(cycle.train.main_block.at(cycle.speed)[0], axis=0).max()
    wanted = main / cycle.design.main_bearing.projected_area / 1e6
    words = told.inner_text()
    assert words.startswith("Main journal 1: ")
    assert float(words.split("peak ")[1].split(" ")[0]) == pytest.approx(wanted, rel=5e-3)
    every = BearingParts(cycle.train).main_specific(np.array([cycle.speed]))[0]
    assert wanted * 1e6 <= every * (1 + 1e-9)


def test_playing_draws_and_sends_nothing(solid) -> None:
    plays_in_silence(*solid)


def plays_in_silence(page, seen) -> None:
    page.wait_for_function(SETTLED)
    before = len(seen.sent), len(seen.received)
    frames = page.evaluate("window.sixthrow.solid.frames")
    page.keyboard.press(" ")
    page.wait_for_function(f"window.sixthrow.solid.frames > {frames} + 3")
    page.keyboard.press(" ")
    assert (len(seen.sent), len(seen.received)) == before
    assert not seen.elsewhere
    assert not seen.errors


def test_at_rest_nothing_is_drawn(solid) -> None:
    page, _ = solid
    page.wait_for_function(SETTLED)
    frames = page.evaluate("window.sixthrow.solid.frames")
    for _ in range(5):
        page.evaluate("() => new Promise(requestAnimationFrame)")
    assert page.evaluate("window.sixthrow.solid.frames") == frames


def test_keys_show_section_explosion_and_colours(solid) -> None:
    page, seen = solid
    page.keyboard.press("c")
    assert page.evaluate("() => window.sixthrow.solid.cuts.length") == 5
    page.keyboard.press("c")
    assert page.evaluate("() => window.sixthrow.solid.cuts.length") == 0
    page.keyboard.press("x")
    assert not any(shown for kind, shown in page.evaluate(PARTS) if kind == "bore")
    page.keyboard.press("x")
    assert all(shown for _, shown in page.evaluate(PARTS))
    page.keyboard.press("u")
    assert page.locator(".solid-key").is_visible()
    page.keyboard.press("u")
    assert not seen.errors


def test_other_stroke_brings_other_solids(solid) -> None:
    page, _ = solid
    box = page.get_by_label("Stroke", exact=True)
    before = page.evaluate(REACH)
    box.fill("82")
    box.press("Enter")
    page.wait_for_function(f"{REACH} > {before} + 0.001")
    box.fill("78")
    box.press("Enter")
    page.wait_for_function(f"Math.abs({REACH} - {before}) < 1e-6")


def test_without_webgl_the_flat_view_stays_and_says_why(context, address) -> None:
    page, _ = open_page(context, "about:blank", lambda _: None)
    page.add_init_script(
        """const own = HTMLCanvasElement.prototype.getContext;
        HTMLCanvasElement.prototype.getContext = function (kind, ...rest) {
          return kind === "webgl2" ? null : own.call(this, kind, ...rest);
        };"""
    )
    page.goto(f"{address}train")
    wait_until_drawn(page)
    page.keyboard.press("d")
    page.get_by_text("This browser has no WebGL 2").wait_for()
    assert page.evaluate("() => window.vtk === undefined")
    page.close()
