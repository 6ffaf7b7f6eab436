"""How much oil a bearing gets of what a full film would pass, in words."""

from kinematics.film.journal_film import BearingFilms
from viz.number_words import operand, with_unit

FEED_FORMULA = (
    "f = Q/Q_R,  Q = Q_R^s·Q_p^(1 − s),  Q_R = Q_v + Q_p − 0.3·√(Q_v·Q_p)\n"
    "Q_v side flow of a full film, Q_p supply flow, s = 0.7·(a/L)^0.7 + 0.4, a width of hole or "
    "groove"
)
FEED_SOURCE = (
    "F. A. Martin and C. S. Lee, Feed-pressure flow in plain journal bearings, ASLE Trans. 26, "
    "1983; F. A. Martin, Proc. Instn Mech. Engrs 212 J, 1998; flow from a hole ISO 7902-2 (all "
    "from memory). Within 0.1 of mass-conserving solutions of the steady bearing"
)


def feed_values(films: BearingFilms, row: int) -> str:
    """Return the formula of a bearing's feed with its values."""
    side, fed, extent = (
        operand(float(values[row]))
        for values in (films.oil_needed, films.oil_fed, films.feed_extent)
    )
    return (
        f"Q_v {side}, Q_p {fed} m³/s, a/L {extent}\n"
        f"Q = {with_unit(float(films.passed_flow[row]), 'l_min', 3)}, "
        f"Q_R = {with_unit(float(films.full_flow[row]), 'l_min', 3)}"
    )
