"""Films of grooved mains: which bearings, beside direct solutions on the demos' load cycles."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import journal_films, load_demo, solve_cycle
from kinematics.film.film_heat import settled_films
from kinematics.film.film_model import FilmModel, JournalPlaces
from kinematics.film.groove_map import groove_table
from kinematics.film.grooved_film import GroovedFilm, bearing_film, main_bears_as_plain
from kinematics.film.grooved_reynolds import GroovedGrid, GroovedShell
from kinematics.film.journal_film import feed_pressures
from kinematics.film.mobility import film_model, finite_length_mobility
from kinematics.film.running_bearings import running_bearings
from kinematics.train.cycle import rigid_train
from tests.conftest import changed

HILL = load_demo("hill_climb_six")
POINTS = 6  # of a cycle that are solved directly


def mains_of(design, speed=None):
    train = rigid_train(design)
    return train, running_bearings(train, np.array([speed or design.layout.rated_speed]), ("main",))


def direct_mobility(shell, size, direction, lead):
    """Mobility along the load and ahead of it (2,) by a secant on the velocity's direction."""
    xi, eta = size * math.cos(lead), size * math.sin(lead)
    guess = finite_length_mobility(np.array(xi), np.array(eta), shell.width_ratio)
    found = []
    for cells in ((64, 2, 6), (128, 4, 12)):
        grid = GroovedGrid(shell, size, direction, cells)
        turn, before, start = -lead + math.atan2(guess[1], guess[0]), None, None
        for _ in range(30):
            film = grid.solve(np.array([math.cos(turn), math.sin(turn)]), start)
            start, off = film.filled, math.remainder(film.load_angle + lead, 2 * math.pi)
            if abs(off) < 1e-5:
                break
            slope = 1.0 if before is None else (off - before[1]) / (turn - before[0])
            before, turn = (turn, off), turn - off / min(max(slope, 0.3), 30.0)
        assert abs(off) < 1e-3
        found.append(film.mobility)
    return found[1] + (found[1] - found[0]) / 3


@pytest.mark.parametrize("name", DEMO_DESIGNS)
def test_films_of_the_demos_are_those_of_direct_solutions(name):
    """Where the film is thinnest and at even steps of the cycle; 3 % of the velocity's size.

    A film goes about with the root of mobility, so this holds it well within 2 %.
    """
    design = load_demo(name)
    train, mains = mains_of(design)
    film = bearing_film(design.oil.film_model, mains)
    assert isinstance(film, GroovedFilm)
    settled = settled_films(mains, design.oil, feed_pressures(train, mains), film, stride=3)
    at = settled.state.at
    along, ahead = film.velocity(at)
    main = design.main_bearing
    shell = GroovedShell(main.width_ratio, main.groove / main.width, main.groove_arc)
    thinnest = np.hypot(at.xi, at.eta).argmax(axis=-1)
    for row in range(len(mains.speed)):
        steps = np.linspace(0, at.xi.shape[1], POINTS, endpoint=False).astype(int)
        for i in {int(thinnest[row]), *map(int, steps[:: 1 + row])}:
            lead = math.atan2(at.eta[row, i], at.xi[row, i])
            load = math.atan2(at.load_x[row, i], at.load_y[row, i])
            size = float(np.hypot(at.xi[row, i], at.eta[row, i]))
            expected = direct_mobility(shell, size, load + lead - main.groove_angle, lead)
            own = np.array([along[row, i], ahead[row, i]]) / at.load[row, i]
            assert np.hypot(*(own - expected)) < 0.03 * np.hypot(*expected)


def test_it_keeps_the_protocol_and_leaves_other_rows_alone():
    size, angle = np.meshgrid(np.array([0.1, 0.6, 0.95]), np.linspace(-3.0, 3.0, 9))
    xi, eta = (np.tile((size * f(angle)).ravel(), (2, 1)) for f in (np.cos, np.sin))
    at = JournalPlaces(xi, eta, np.zeros_like(xi), np.ones_like(xi), np.ones_like(xi))
    plain = film_model("reynolds", np.array([0.3, 0.3]))
    film = GroovedFilm(plain, np.array([1]), np.array([[0.3, 0.2, math.pi]]), np.array([0.0]))
    assert isinstance(film, FilmModel)
    velocity, slopes = film.velocity_and_slopes(at)
    np.testing.assert_allclose(velocity, film.velocity(at), rtol=1e-12)
    own, plain_slopes = plain.velocity_and_slopes(at)
    np.testing.assert_array_equal(np.array(velocity)[:, 0], np.array(own)[:, 0])
    np.testing.assert_array_equal(slopes[0][0], plain_slopes[0][0])
    gaps = film.friction_gap(at, velocity), plain.friction_gap(at, velocity)
    answers = [
        (getattr(film, name)(at), getattr(plain, name)(at))
        for name in ("peak_pressure", "peak_angle", "side_flow")
    ]
    for values, without in (*answers, gaps):
        np.testing.assert_array_equal(values[0], without[0])
        assert np.isfinite(values[1]).all()
    assert (film.velocity(at)[0] > 0).all()
    assert (film.velocity(at)[0][1] > 0.98 * plain.velocity(at)[0][1]).all()
    assert (film.peak_pressure(at) > 1).all()
    assert (film.side_flow(at) > 0).all()


@pytest.mark.parametrize("wanted", [[0], [1, 3], [2, 3]])
def test_some_rows_are_those_of_all(wanted):
    draw, rows = np.random.default_rng(2), np.array(wanted)
    size, lead = draw.uniform(0.1, 0.97, (4, 30)), draw.uniform(-3, 3, (4, 30))
    load = draw.uniform(-3, 3, (4, 30))
    at = [size * np.cos(lead), size * np.sin(lead), np.sin(load), np.cos(load), 1 + size]
    shells = np.array([[0.3, 0.2, math.pi], [0.35, 0.2, 3.0]])
    film = GroovedFilm(
        film_model("reynolds", np.array([0.3, 0.3, 0.5, 0.35])), np.array([1, 3]), shells,
        np.array([0.0, 0.4]),
    )  # fmt: skip
    every = film.velocity_and_slopes(JournalPlaces(*at))
    some = film.of_rows(rows).velocity_and_slopes(JournalPlaces(*(part[rows] for part in at)))
    for values, own in zip((*every[0], *every[1]), (*some[0], *some[1]), strict=True):
        np.testing.assert_array_equal(own, values[rows])


def test_the_groove_does_not_rub():
    """The plain gap over the share of c/h round the shell that the groove leaves."""
    size, lead, share = 0.8, 0.4, 0.2
    place = (size * math.cos(lead), size * math.sin(lead), math.sin(1.0), math.cos(1.0), 1.0)
    at = JournalPlaces(*(np.array([[value]]) for value in place))
    plain = film_model("reynolds", np.array([0.3]))
    film = GroovedFilm(
        plain, np.array([0]),
        np.array([[0.3, share, math.radians(150)]]), np.array([0.5]),
    )  # fmt: skip
    angle = np.linspace(-math.pi, math.pi, 1_000_001)
    film_over = 1 / (1 - size * np.cos(angle - (1.0 + lead - 0.5)))
    within = np.abs(angle) < math.radians(75)
    left = np.trapezoid(film_over * np.where(within, 1 - share, 1.0), angle)
    left /= np.trapezoid(film_over, angle)
    velocity = film.velocity(at)
    ratio = float((plain.friction_gap(at, velocity) / film.friction_gap(at, velocity))[0, 0])
    assert ratio == pytest.approx(left, rel=1e-5)


def test_a_groove_is_counted_where_the_table_holds_it():
    _, mains = mains_of(HILL)
    assert isinstance(bearing_film("reynolds", mains), GroovedFilm)
    for arc, plain in ((0.0, False), (math.radians(20), True), (2 * math.pi, False)):
        design = changed(HILL, "main_bearing", groove_arc=arc)
        _, mains = mains_of(design)
        assert not isinstance(bearing_film("reynolds", mains), GroovedFilm)
        assert main_bears_as_plain(design.main_bearing) is plain
    _, both = mains_of(HILL), running_bearings(rigid_train(HILL), np.array([800.0]))
    film = bearing_film("short_bearing", both)
    np.testing.assert_array_equal(film._rows, np.flatnonzero(both.is_main))


def test_the_groove_goes_where_its_angle_says():
    """A groove in the lower shell under the load leaves less film than one in the upper."""
    upper = dataclasses.replace(HILL.pressure, load=1.0)
    base = dataclasses.replace(HILL, pressure=upper)
    films = {}
    for degrees in (0, 180):
        design = changed(base, "main_bearing", groove_angle=math.radians(degrees))
        mains = journal_films(solve_cycle(design, 3000)).mains  # gas presses downward
        films[degrees] = mains.minimum_film.min()
    assert films[180] < 0.7 * films[0]


def test_grooved_films_close_at_every_speed_of_every_demo():
    for name in DEMO_DESIGNS:
        design = load_demo(name)
        for share in (0.25, 0.6, 1.3):
            rpm = share * design.layout.rated_speed * 30 / math.pi
            mains = journal_films(solve_cycle(design, rpm)).mains
            assert (mains.minimum_film > 0).all()


def test_the_table_covers_the_demos():
    for name in DEMO_DESIGNS:
        main = load_demo(name).main_bearing
        assert groove_table().holds(main.width_ratio, main.groove / main.width, main.groove_arc)
