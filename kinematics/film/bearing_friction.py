"""Friction of an engine's bearings as a mean effective pressure, and a fit to motored engines.

Source: D. Sandoval and J. B. Heywood, An improved friction model for spark-ignition engines, SAE
2003-01-0725 (coefficients from memory); its bearing term is that of K. J. Patton, R. G. Nitschke
and J. B. Heywood, SAE 890836.
"""

from kinematics.design.design import Design
from kinematics.design.design_bearings import PlainBearing
from kinematics.film.journal_film import JournalFilms
from kinematics.train.cycle import RigidTrain
from kinematics.units import UNITS

_FIT = 3.03e-4  # [kPa·min/mm], N [1/min], lengths [mm] (from memory)


def friction_mean_pressure(films: JournalFilms, train: RigidTrain) -> float:
    """Return the friction mean effective pressure [Pa] of all big ends and mains.

    Mean loss of the cycle over the swept volume of all cylinders.

    Reference: work per cycle over swept volume, by definition.

    >>> from kinematics import journal_films, load_demo, solve_cycle
    >>> from kinematics.film.bearing_friction import friction_mean_pressure
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> print(f"{friction_mean_pressure(journal_films(cycle), cycle.train) / 1e5:.1f} bar")
    0.7 bar
    """
    loss = float(films.big_ends.loss.sum() + films.mains.loss.sum())
    layout = train.design.layout
    work = loss * layout.cycle_angle / films.mains.speed
    return work / (train.swept_volume * layout.cylinders)


def fitted_friction_pressure(design: Design, speed: float) -> float:
    """Return the same [Pa] at a speed [rad/s] as fitted to motored petrol engines.

    Parameters
    ----------
    design : with both bearings; for six-throw cars' engines, oil and clearances as usual

    Notes
    -----
    3.03·10⁻⁴ N D³ L n_b / (B² S n_c) [kPa] of big ends and mains; without the terms for seals and
    turbulence, and without the oil's own viscosity.

    Raises
    ------
    DesignError where a bearing is missing.

    Reference: Sandoval and Heywood, SAE 2003-01-0725 (coefficients from memory).
    """
    layout, cylinder = design.layout, design.cylinder
    big_end: PlainBearing = design.needed("big_end", "bearing friction")
    main: PlainBearing = design.needed("main_bearing", "bearing friction")
    turning = (
        layout.cylinders * big_end.diameter**3 * big_end.width
        + (layout.throws + 1) * main.diameter**3 * main.width
    )
    swept = cylinder.bore**2 * cylinder.stroke * layout.cylinders
    rpm = UNITS["rpm"].from_si(speed)
    return _FIT * 1e3 * rpm * turning / swept * 1e3
