"""What each film model is, and what its numbers rest on, in words.

Pages describe the model that a design names in `oil.film_model`, and no other.
"""

from dataclasses import dataclass

from kinematics.design.design_bearings import BARUS, FILM_MODELS, Oil

BOOKER = (
    "J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, ASME J. Basic "
    "Eng. 87, 1965 (from memory)"
)
_PRESSURE = "J. F. Booker, ASME J. Lubr. Tech. 91, 1969 (from memory)"
_TABLE = (
    "Table of solutions of Reynolds' equation in two dimensions, checked against A. A. Raimondi "
    "and J. Boyd, ASLE Trans. 1, 1958 (from memory)"
)
_FIT = (
    "D. Childs, H. Moes and H. van Leeuwen, Journal bearing impedance descriptions for "
    "rotordynamic applications, ASME J. Lubr. Tech. 99, 1977 (from memory)"
)
_OCVIRK = (
    "F. W. Ocvirk, Short-bearing approximation for full journal bearings, NACA TN 2808, 1952 "
    "(from memory)"
)


@dataclass(frozen=True, slots=True)
class FilmModelWords:
    """A film model in words: its name, whose mobility and pressure it has, their sources."""

    name: str
    mobility: str  # what M in the equation of motion is
    pressure: str  # what P, peak over mean pressure, is
    mobility_source: str
    pressure_source: str
    flow_source: str
    tabled: bool  # whether any of it is read from the table, which ends at some widths
    caution: str = ""

    @property
    def formula(self) -> str:
        """How the minimum film thickness follows, in two lines."""
        return (
            "h = c·(1 − ε),  dε/dφ = W·k·M(ε) + ½·(ω_journal − ω_shell)/ω × ε\n"
            f"k = (c/R)²/(μ·L·D·ω), M {self.mobility}"
        )

    @property
    def sources(self) -> str:
        """Source of the method and of the model."""
        return BOOKER if self.mobility_source == BOOKER else f"{BOOKER}; {self.mobility_source}"


_WORDS = {
    "reynolds": FilmModelWords(
        "finite bearing (Reynolds' equation)",
        "mobility of the finite bearing by Reynolds' equation",
        "P from the same solution of Reynolds' equation as the mobility",
        _TABLE, f"{_PRESSURE}; {_TABLE}", _TABLE, tabled=True,
    ),
    "finite_length": FilmModelWords(
        "finite-length fit",
        "mobility by the finite-length fit",
        "P from Reynolds' equation, at the eccentricity by the finite-length fit",
        _FIT, f"{_PRESSURE}; {_TABLE}", _TABLE, tabled=True,
        caution="Against Reynolds' equation 5 to 15 % too stiff under the load: real films "
        "are thinner.",
    ),
    "short_bearing": FilmModelWords(
        "short bearing",
        "mobility of the short bearing",
        "P of the short bearing in closed form",
        BOOKER, "Follows from Reynolds' equation of the short bearing",
        f"Continuity; at a steady load {_OCVIRK}", tabled=False,
        caution="Too stiff in thin films, most in wide bearings: real films are thinner.",
    ),
}  # fmt: skip
OIL_UNDER_PRESSURE = ("one viscosity", "thickens (Barus)")  # in the order of the oil's choices
THICKENED = "μ·exp(α·W/(L·D)) at each instant"
MODEL_NAMES = tuple(_WORDS[name].name for name in FILM_MODELS)


def models_apart(a: Oil | None, b: Oil | None) -> str:
    """Return which film models two designs name, "A …, B …"; empty where it is one, or none."""
    if a is None or b is None:
        return ""
    names = [_model_name(oil) for oil in (a, b)]
    return "" if names[0] == names[1] else f"A {names[0]}, B {names[1]}"


def _model_name(oil: Oil) -> str:
    name = film_model_words(oil.film_model).name
    return f"{name}, oil thickens" if oil.under_pressure == BARUS else name


def film_model_words(name: str) -> FilmModelWords:
    """Return the words of a film model, one of `FILM_MODELS`."""
    return _WORDS[name]
