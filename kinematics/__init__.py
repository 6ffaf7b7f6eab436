"""The numbers of a crank train: pure functions on NumPy arrays, SI inside.

What a notebook needs, by task; everything else is imported from where it is defined.
"""

from kinematics.balancing.balance_scatter import Spread, Spreads
from kinematics.balancing.bob_weights import pin_bob_weights
from kinematics.balancing.rotating_balance import first_order, rotating_balance
from kinematics.balancing.scatter_study import scatter_study
from kinematics.balancing.shaft_drilling import shaft_tolerance
from kinematics.design.demo_design import load_demo
from kinematics.design.design import Design
from kinematics.design.design_field import with_value
from kinematics.design.design_file import design_text, load_design, parse_design, save_design
from kinematics.design.solid_throw import solid_throw, solve_design_throw
from kinematics.errors import DesignError
from kinematics.film.film_survey import FilmSurvey, film_survey
from kinematics.film.journal_film import BearingFilms, JournalFilms, journal_films
from kinematics.film.journal_shape import journal_tilts
from kinematics.fit.fit_checks import fit_checks
from kinematics.limits.limit_raising import raising_changes
from kinematics.limits.limit_sensitivities import limit_sensitivities
from kinematics.limits.shaft_costs import shaft_costs
from kinematics.limits.speed_limits import Ladder, Rung, speed_limits
from kinematics.shaft.counterweight_choice import CounterweightChoice
from kinematics.shaft.counterweight_schemes import internal_moment
from kinematics.shaft.shaft_geometry import Shaft, shaft_geometry
from kinematics.shaft.torsion_train import idle_irregularity, torsional_chain
from kinematics.train.cycle import Cycle, rigid_train, solve_cycle
from kinematics.train.layout_balance import layout_balances
from kinematics.train.speed_sweep import SpeedSweep, speed_sweep

__all__ = [  # noqa: RUF022 - by task
    # design
    "Design",
    "DesignError",
    "load_demo",
    "load_design",
    "parse_design",
    "save_design",
    "design_text",
    "with_value",
    # cycle
    "Cycle",
    "solve_cycle",
    "SpeedSweep",
    "speed_sweep",
    # fit
    "fit_checks",
    # limits
    "Ladder",
    "Rung",
    "speed_limits",
    "limit_sensitivities",
    "raising_changes",
    # films
    "BearingFilms",
    "JournalFilms",
    "journal_films",
    "journal_tilts",
    "FilmSurvey",
    "film_survey",
    # shaft
    "Shaft",
    "shaft_geometry",
    "shaft_costs",
    "CounterweightChoice",
    "internal_moment",
    "rigid_train",
    "solid_throw",
    "solve_design_throw",
    "torsional_chain",
    "idle_irregularity",
    # balancing
    "layout_balances",
    "first_order",
    "rotating_balance",
    "pin_bob_weights",
    "shaft_tolerance",
    "Spread",
    "Spreads",
    "scatter_study",
]
