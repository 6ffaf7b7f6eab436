"""The numbers of one bearing's film, each one step from its formula with the values put in.

Put-in values are SI but for angles in degrees; the text is plain: whoever shows it must escape it.
"""

import math
from collections.abc import Iterator

import numpy as np

from kinematics.design.allowables import allowable
from kinematics.design.design_bearings import MainBearing, Oil
from kinematics.design.oil_viscosity import (
    HIGH_SHEAR_TEMPERATURE,
    high_shear_viscosity,
    low_shear_viscosity,
    shear_share,
)
from kinematics.errors import DesignError
from kinematics.film.bearing_friction import (
    fitted_friction_pressure,
    friction_mean_pressure,
)
from kinematics.film.film_bounds import (
    CONFORMING,
    RIGID_PRESSURE,
    conforming_peaks,
    thickened_films,
)
from kinematics.film.film_heat import HEAT_PER_VOLUME
from kinematics.film.journal_film import films_by_other_models
from kinematics.film.journal_shape import MEAN_DROP, crown_choice
from kinematics.film.oil_supply import load_density
from kinematics.film.running_bearings import PRESSURE_COEFFICIENT
from viz.film.bore_words import bore_numbers
from viz.film.feed_words import FEED_FORMULA, FEED_SOURCE, feed_values
from viz.film.film_model_words import BOOKER, FilmModelWords, film_model_words
from viz.film.film_model_words import THICKENED as THICKENED_BY
from viz.film.groove_words import (
    GROOVE_FORMULA,
    GROOVE_SOURCE,
    groove_words,
    has_partial_groove,
)
from viz.film.shown_films import ShownBearing, ShownFilms
from viz.number_words import format_whole, operand, turn_text, whole_degrees, with_unit
from viz.train.main_number import Definition, MainNumber

_ISO = "ISO 7902-1 and -2 (from memory)"
_RIGID = "Round, rigid journal and shell, even viscosity, film full. "

SPECIFIC_LOAD = Definition(
    "specific_load", "Peak specific load", "MPa", "p",
    "p = W/(L·D)", "Load over projected area, maximum over the cycle.", _ISO)  # fmt: skip
MEAN_LOAD = Definition(
    "mean_specific_load", "Mean specific load", "MPa", "p",
    "p = mean of W/(L·D) over the cycle", "Mean of the load magnitude.", _ISO)  # fmt: skip
TEMPERATURE = Definition(
    "film_temperature", "Effective oil temperature", "degC", "T",
    "T = T_inlet + P/(2·ρc·Q)\nP mean loss, Q oil flow, μ = μ(T)",
    "Mean of inlet and outlet. The oil carries away all heat.",
    f"{_ISO}; oil by ASTM D341 or by its SAE grade", 4)  # fmt: skip
VISCOSITY = Definition(
    "film_viscosity", "Effective viscosity", "mPa_s", "μ",
    "μ = s·μ₀(T), T and film heat in balance\n"
    "s = HTHS/μ₀(150 °C), μ₀ at low shear; 1 for a single grade",
    "Effective, one for the whole film, at high shear: the share s at 150 °C is used at every "
    "temperature.",
    "A. S. Seireg and S. Dandage, ASME J. Lubr. Tech. 104, 1982, as in Shigley (from memory), or "
    "ASTM D341 (from memory); HTHS as given, else the minimum of SAE J300, 2015")  # fmt: skip
OIL_FED = Definition(
    "oil_fed", "Supply flow", "l_min", "Q",
    "groove: Q = p·R/(6·μ·L')·∫h³dθ over its arc\nhole: Q = π·h³·p/(6·μ·ln(L/d)·q)",
    "Mean over the cycle; p where the oil enters the film, at a crankpin with the rise of the "
    "rotating column. A hole feeds nothing while it stands in the pressed half of the shell.",
    f"{_ISO}, for steady loads, here taken at each instant")  # fmt: skip
OIL_PASSED = Definition(
    "oil_passed", "Oil flow", "l_min", "Q", FEED_FORMULA,
    "What really passes and carries the heat: less than side and supply flow would together, for "
    "hole and groove are narrower than the bearing.", FEED_SOURCE)  # fmt: skip
OIL_FEED = Definition(
    "oil_feed", "Oil feed", "percent", "f", FEED_FORMULA,
    "Flow that passes over that of a full film. Starved below its allowable.",
    FEED_SOURCE)  # fmt: skip
FED_FILM = Definition(
    "film_fed", "Minimum oil film thickness, fed film", "um", "h",
    "h = c·(1 − ε'), ε' of a starved short bearing that carries what a full one does at ε\n"
    "it begins where the gap is c·(1 − ε + 2·ε·f)",
    "A hint of what starving takes, by steady loads; the film above is full.",
    "Continuity and Reynolds' equation of the short bearing")  # fmt: skip
THICKENED = Definition(
    "film_thickened", "Minimum oil film thickness, oil thickening under pressure", "um", "h",
    "h = c·(1 − ε), μ = μ₀·exp(α·W/(L·D)) at each instant",
    "An upper bound: the film heats and shears where it bears.",
    "C. Barus, 1893, as in Hamrock, Schmid and Jacobson, Fundamentals of Fluid Film Lubrication, "
    "2nd ed., 2004 (from memory); α from memory")  # fmt: skip
CONFORMING_PEAK = Definition(
    "conforming_peak", "Peak oil film pressure, conforming shell", "MPa", "p",
    "p = (6/π)·W/(L·D)",
    "The least that carries the load: cos θ over half the shell, a parabola over the width. An "
    "elastic shell lies between this and the rigid one.", "Equilibrium")  # fmt: skip
LOSS = Definition(
    "loss", "Power loss", "W", "P",
    "P = mean of 2π·μ·u²·R·L·s/(c·√(1 − ε²)) + W·v\n"
    "u sliding speed, v squeeze velocity along W, s share of the shear that a ruptured film has",
    "Behind the pressed half of the shell the film fills h_r/h of a gap that has opened since the "
    "film ended at h_r; where it is narrower it counts as full. The heat balance takes the same "
    "loss.",
    f"{BOOKER}; filled share after H. G. Elrod, ASME J. Lubr. Tech. 103, 1981 (from memory)",
)  # fmt: skip
FRICTION_PRESSURE = Definition(
    "friction_pressure", "Bearing friction mean effective pressure", "bar", "FMEP",
    "FMEP = ΣP·θ/(ω·V), ΣP of all big ends and mains, θ cycle angle, V swept volume",
    "Of this film model. Beside it a fit to motored petrol engines, without the oil's own "
    "viscosity: 3.03·10⁻⁴·N·D³·L·n/(B²·S·n_c) kPa.",
    "Work per cycle over swept volume; fit by D. Sandoval and J. B. Heywood, SAE 2003-01-0725 "
    "(coefficients from memory)")  # fmt: skip
FRICTION = Definition(
    "friction_torque", "Friction torque", "Nm", "T", "T = P/ω",
    "Mean torque that this bearing takes from the crankshaft.", "Work and energy")  # fmt: skip
ECCENTRICITY = Definition(
    "eccentricity", "Maximum eccentricity ratio", "", "ε", "ε = 1 − h/c",
    "Of the journal's centre, over the radial clearance.", "Definition", 4)  # fmt: skip
EDGE_FILM = Definition(
    "edge_film", "Edge film (misalignment and crown)", "um", "h",
    "h = c − |c·ε + z·γ| + k·((2z/L)² − 1/5)\nγ tilt by orbits and bending, k crown",
    "Minimum film anywhere over the width, an estimate for rigid shells: below zero an edge would "
    "touch. Elastic shells give way. Bending of each throw as a bar of crankpin section (too "
    "stiff) or of the continuous shaft (throws by finite elements), as given in the design.",
    "Geometry and beam theory; the mean drop of a crown under parabolic pressure")  # fmt: skip
CROWN = Definition(
    "crown", "Recommended crown", "um", "k",
    "the k with the greatest minimum film over the width",
    "Crown thins the film at mid width by a fifth of itself.",
    "As for the edge film")  # fmt: skip
QUIET_SHELL = Definition(
    "quiet_shell", "Least-loaded angle, shell (oil-hole position)", "deg", "θ",
    "θ where the load, spread ± 60° about its direction, has its minimum sum over the cycle",
    "From the shell's y axis in the sense of rotation: best place for an oil hole or groove "
    "in the shell.", "Common practice, no source")  # fmt: skip
QUIET_JOURNAL = Definition(
    "quiet_journal", "Least-loaded angle, journal (oil-hole position)", "deg", "θ",
    "θ where the load, spread ± 60° about its direction, has its minimum sum over the cycle",
    "From outward of the throw (of throw 1 for mains), in the sense of rotation: best place for "
    "an oil hole in the journal.", "Common practice, no source")  # fmt: skip


def minimum_film(words: FilmModelWords, grooved: bool = False, thickened: str = "") -> Definition:
    """Return what the minimum film thickness is by a film model, of a grooved main or another."""
    groove = f"\n{GROOVE_FORMULA}" if grooved else ""
    thicker = f", {thickened}" if thickened else ""
    return Definition(
        "least_film", "Minimum oil film thickness", "um", "h",
        f"{words.formula}, closed over the cycle{thicker}{groove}",
        f"{_RIGID}Of a straight journal in line with its shell; it is assessed by this. The edge "
        f"film (misalignment and crown) is a separate number. {words.caution}".rstrip(),
        f"{words.sources}; {GROOVE_SOURCE}" if grooved else words.sources,
    )  # fmt: skip


def peak_pressure(words: FilmModelWords) -> Definition:
    """Return what the peak film pressure is by a film model."""
    return Definition(
        "peak_film_pressure", "Peak oil film pressure", "MPa", "p",
        f"p = W/(L·D)·P(ε)\n{words.pressure}",
        f"{_RIGID}Maximum over the cycle; an elastic shell has less.", words.pressure_source,
    )  # fmt: skip


def side_flow(words: FilmModelWords) -> Definition:
    """Return what the side flow is by a film model."""
    return Definition(
        "oil_needed", "Side flow", "l_min", "Q",
        "Q = mean of R·L·|v|·q(ε), v squeeze velocity",
        "Leaves a full film at both sides; with less fed the bearing is starved.",
        words.flow_source,
    )  # fmt: skip


def film_numbers(bearing: ShownBearing) -> tuple[MainNumber, ...]:
    """Return the numbers of a bearing, the most wanted first."""
    return (
        _least(bearing), *_pressures(bearing), *_heat(bearing), *_flows(bearing), *_losses(bearing),
        _eccentricity(bearing), *_shape(bearing), *bore_numbers(bearing), *_places(bearing),
        *_other_models(bearing),
    )  # fmt: skip


def _degrees(bearing: ShownBearing, index: int) -> str:
    return f"φ {whole_degrees(bearing.films.crank_angle[index])}"


def _least(bearing: ShownBearing) -> MainNumber:
    clearance, size = (
        bearing.films.bearing.radial_clearance,
        float(bearing.films.size[bearing.index, bearing.at]),
    )
    allowed = bearing.shown.allowed(bearing.kind)
    place = math.degrees(bearing.films.minimum_place[bearing.index])
    size_of = bearing.films.bearing
    main = size_of if isinstance(size_of, MainBearing) else None
    groove = groove_words(main) if main is not None else ""
    partly = main is not None and has_partial_groove(main)
    thickened = THICKENED_BY if bearing.shown.thickened else ""
    number = minimum_film(bearing.shown.model_words, partly, thickened).number(
        bearing.least,
        f"{operand(clearance)}·(1 − {operand(size)})",
        f"{_degrees(bearing, bearing.at)}, shell {turn_text(place)}",
    )
    words = f"\nallowed at least {with_unit(allowed.value, 'um')}: "
    words += allowed.origin.words
    return _with(number, f"{words}\n{groove}" if groove else words)


def _with(number: MainNumber, more: str) -> MainNumber:
    return MainNumber(
        **{name: getattr(number, name) for name in number.__slots__}
        | {"substitution": number.substitution + more}
    )


def _pressures(bearing: ShownBearing) -> Iterator[MainNumber]:
    films, area = bearing.films, bearing.films.bearing.projected_area
    i = int(films.peak_pressure[bearing.index].argmax())
    specific = float(films.specific_load[bearing.index, i])
    peak = float(films.peak_pressure[bearing.index, i])
    place = math.degrees(films.pressure_angle[bearing.index, i])
    yield peak_pressure(bearing.shown.model_words).number(
        peak,
        f"{operand(specific)}·{operand(peak / specific if specific > 0 else 0.0)}",
        f"{_degrees(bearing, i)}, shell {turn_text(place)}"
        + (f", {_rigid_words()}" if peak > RIGID_PRESSURE else ""),
    )
    i = int(films.specific_load[bearing.index].argmax())
    yield CONFORMING_PEAK.number(
        float(conforming_peaks(films)[bearing.index]),
        f"{operand(CONFORMING)}·{operand(float(films.specific_load[bearing.index, i]))}",
        _rigid_words() if peak > RIGID_PRESSURE else "",
    )
    load = math.hypot(*films.load[bearing.index, :, i])
    size = f"({operand(films.bearing.bearing_width)}·{operand(films.bearing.diameter)})"
    yield SPECIFIC_LOAD.number(load / area, f"{operand(load)}/{size}", _degrees(bearing, i))
    mean = float(films.specific_load[bearing.index].mean())
    yield MEAN_LOAD.number(mean, f"{operand(mean * area)}/{size}")


def _heat(bearing: ShownBearing) -> Iterator[MainNumber]:
    films, oil = bearing.films, bearing.shown.cycle.design.oil
    assert oil is not None  # films were made with it
    flow = float(films.cooling_flow[bearing.index])
    yield TEMPERATURE.number(
        float(films.temperature[bearing.index]),
        f"{operand(oil.inlet_temperature)} + {operand(float(films.loss[bearing.index]))}/"
        f"(2·{operand(HEAT_PER_VOLUME)}·{operand(flow)})",
        "" if bearing.shown.films.heat_balanced else "viscosity as given",
    )
    viscosity = float(films.viscosity[bearing.index])
    yield VISCOSITY.number(viscosity, _viscosity_words(bearing, oil), oil.grade)


def _viscosity_words(bearing: ShownBearing, oil: Oil) -> str:
    law = low_shear_viscosity(oil)
    if not bearing.shown.films.heat_balanced or law is None:
        return "as given in the design"
    warm = bearing.films.temperature[bearing.index]
    words = f"{operand(shear_share(oil))}·{operand(float(law(warm)))} Pa·s, s of "
    high = high_shear_viscosity(oil)
    if high is None:
        return words + "a single grade"
    at_150 = float(law(np.array(HIGH_SHEAR_TEMPERATURE)))
    origin = "minimum of SAE J300" if oil.high_shear_viscosity is None else "as given"
    return words + f"{operand(high)}/{operand(at_150)}, HTHS {origin}"


def _flows(bearing: ShownBearing) -> Iterator[MainNumber]:
    films = bearing.films
    needed, fed = float(films.oil_needed[bearing.index]), float(films.oil_fed[bearing.index])
    yield side_flow(bearing.shown.model_words).number(
        needed, f"mean over {films.load.shape[-1]} points, {operand(needed)} m³/s",
        f"fed {with_unit(fed, 'l_min', 2)}",
    )  # fmt: skip
    yield OIL_FED.number(
        fed, f"mean over {films.load.shape[-1]} points, {operand(fed)} m³/s",
        "" if fed > 0 else "no oil reaches the crankpin",
    )  # fmt: skip
    passed, filling = (
        float(values[bearing.index]) for values in (films.passed_flow, films.filling)
    )
    words = feed_values(films, bearing.index)
    yield _with(OIL_PASSED.number(passed, f"{operand(passed)} m³/s"), f"\n{words}")
    starved = filling < allowable(bearing.shown.cycle.design.limits, "film_filling").value
    full = float(films.full_flow[bearing.index])
    yield _with(
        OIL_FEED.number(
            filling,
            f"{operand(passed)}/{operand(full)}",
            f"{with_unit(passed, 'l_min', 2)} passes" + (", starved" if starved else ""),
        ),
        f"\n{words}",
    )


def _losses(bearing: ShownBearing) -> Iterator[MainNumber]:
    films = bearing.films
    drag, squeeze = (
        float(part[bearing.index].mean()) for part in (films.drag_loss, films.squeeze_loss)
    )
    loss = float(films.loss[bearing.index])
    yield LOSS.number(loss, f"{operand(drag)} + {operand(squeeze)}", "shear, squeeze")
    torque = float(films.friction_torque[bearing.index])
    yield FRICTION.number(torque, f"{operand(loss)}/{operand(films.speed)}")
    yield _friction_pressure(bearing.shown)


def _friction_pressure(shown: ShownFilms) -> MainNumber:
    films, train = shown.films, shown.cycle.train
    layout = train.design.layout
    total = float(films.big_ends.loss.sum() + films.mains.loss.sum())
    fit = fitted_friction_pressure(train.design, films.mains.speed)
    return FRICTION_PRESSURE.number(
        friction_mean_pressure(films, train),
        f"{operand(total)}·{operand(layout.cycle_angle)}/({operand(films.mains.speed)}·"
        f"{operand(train.swept_volume * layout.cylinders)})",
        f"{with_unit(fit, 'bar', 2)} by the fit",
    )


def _eccentricity(bearing: ShownBearing) -> MainNumber:
    clearance = bearing.films.bearing.radial_clearance
    return ECCENTRICITY.number(
        1 - bearing.least / clearance,
        f"1 − {operand(bearing.least)}/{operand(clearance)}",
        _degrees(bearing, bearing.at),
    )


def _shape(bearing: ShownBearing) -> Iterator[MainNumber]:
    films, tilt = bearing.films, bearing.shown.tilt(bearing.kind)
    edge = bearing.edge
    largest = float(np.hypot(tilt[bearing.index, 0], tilt[bearing.index, 1]).max())
    yield EDGE_FILM.number(
        edge,
        f"minimum over cycle and width, misalignment up to {operand(largest)} rad, "
        f"crown {operand(films.bearing.crown)} m, c {operand(films.bearing.radial_clearance)} m",
        "a rigid shell would touch" if edge < 0 else "estimate",
    )
    choice = crown_choice(films, tilt, bearing.index)
    k, film = float(choice.crown[choice.best]), float(choice.minimum_film[choice.best])
    without = float(choice.minimum_film[0])
    number = CROWN.number(
        k, f"best of {len(choice.crown)} tried",
        f"minimum film {with_unit(film, 'um')} instead of {with_unit(without, 'um')}",
    )  # fmt: skip
    middle = float(choice.middle_film[choice.best])
    yield _with(
        number,
        f"\nminimum film {operand(without)} m without crown, {operand(film)} m with it\n"
        "at mid width "
        f"{operand(bearing.least)} − {MEAN_DROP:g}·{operand(k)} = {operand(middle)} m",
    )


def _places(bearing: ShownBearing) -> Iterator[MainNumber]:
    bearings = bearing.shown.cycle.bearings
    shell = load_density(bearing.films.load[bearing.index])
    on_journal = (
        bearings.big_end_load("crank") if bearing.kind == "big_end" else bearings.main_load("crank")
    )
    journal = load_density(on_journal[bearing.index])
    for definition, density in ((QUIET_SHELL, shell), (QUIET_JOURNAL, journal)):
        share = 100 * float(density.density.min() / density.density.mean())
        yield definition.number(
            density.least_loaded_angle, f"least loaded of {len(density.angle)} directions",
            f"{format_whole(share)} % of mean",
        )  # fmt: skip


def _other_models(bearing: ShownBearing) -> Iterator[MainNumber]:
    cycle, clearance = bearing.shown.cycle, bearing.films.bearing.radial_clearance
    fed = float(bearing.films.fed_film[bearing.index])
    yield FED_FILM.number(fed, f"{operand(clearance)}·(1 − {operand(1 - fed / clearance)})")
    try:
        if not bearing.shown.thickened:
            yield _thickened(bearing)
        found = films_by_other_models(cycle, bearing.films, bearing.kind)
    except DesignError:
        return  # a fit that leaves no film has nothing to compare
    for name, least in found.items():
        words = film_model_words(name)
        other = float(least[bearing.index])
        more = 100 * (other / bearing.least - 1)
        size = f"{'+' if more >= 0 else '−'}{format_whole(abs(more))} %"
        yield Definition(
            f"film_{name}", f"Minimum oil film thickness, {words.name}", "um", "h",
            "h = c·(1 − ε)",
            f"Same loads and viscosity, another film model. {words.caution}".rstrip(),
            words.mobility_source,
        ).number(
            other, f"{operand(bearing.films.bearing.radial_clearance)}·(1 − "
            f"{operand(1 - other / bearing.films.bearing.radial_clearance)})",
            f"{size} against {bearing.shown.model_words.name}",
        )  # fmt: skip


def _thickened(bearing: ShownBearing) -> MainNumber:
    films, train = bearing.films, bearing.shown.cycle.train
    clearance = films.bearing.radial_clearance
    thick = float(thickened_films(train, films, bearing.kind)[bearing.index])
    return THICKENED.number(
        thick, f"{operand(clearance)}·(1 − {operand(1 - thick / clearance)})",
        f"α {operand(PRESSURE_COEFFICIENT)} 1/Pa",
    )  # fmt: skip


def _rigid_words() -> str:
    return f"rigid shell above {with_unit(RIGID_PRESSURE, 'MPa')}"
