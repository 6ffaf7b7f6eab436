"""The numbers of a crank train: pure functions on NumPy arrays, SI inside."""

from kinematics.design.design import Design
from kinematics.design.design_field import with_value
from kinematics.design.design_file import design_text, load_design, parse_design, save_design
from kinematics.errors import DesignError
from kinematics.film.film_survey import film_survey
from kinematics.film.journal_film import journal_films
from kinematics.limits.limit_sensitivities import limit_sensitivities
from kinematics.limits.speed_limits import speed_limits
from kinematics.train.cycle import Cycle, solve_cycle
from kinematics.train.speed_sweep import SpeedSweep, speed_sweep

__all__ = [
    "Cycle",
    "Design",
    "DesignError",
    "SpeedSweep",
    "design_text",
    "film_survey",
    "journal_films",
    "limit_sensitivities",
    "load_design",
    "parse_design",
    "save_design",
    "solve_cycle",
    "speed_limits",
    "speed_sweep",
    "with_value",
]
