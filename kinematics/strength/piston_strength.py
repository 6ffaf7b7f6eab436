"""Piston speed and acceleration as criteria, lift of the top ring, and the piston pin.

Signs: the ring's seat force is positive while it sits on the lower flank of its groove; pressures
act toward the crank from above. Pin formulas are the classical ones; Strozzi and others,
Engineering Failure Analysis, 2018, criticise them, so results compare designs and prove none.

Sources: Heywood, Internal Combustion Engine Fundamentals (from memory); Jennings, Two-Stroke
Tuner's Handbook (as reprinted); Kolchin and Demidov, Design of Automotive Engines (from memory);
Khurmi and Gupta, A Textbook of Machine Design, chapter 32 (public excerpt).
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.mechanics.slider_crank import SliderCrank
from kinematics.one_line import frozen_record

_INCH, _FOOT = 0.0254, 0.3048


@dataclass(frozen=True, slots=True)
class Guide:
    """A guide value: from `low` to `high`, in the unit of its table, with its source."""

    subject: str
    low: float
    high: float
    source: str


_HEYWOOD = "Heywood, Internal Combustion Engine Fundamentals (from memory)"
_MAGAZINE = "typical, unverified: a magazine page"
MEAN_PISTON_SPEED_GUIDES = (  # [m/s]
    Guide("road, long cruising (old rule)", 0.0, 12.7, _MAGAZINE),
    Guide("at maximum rated power", 8.0, 15.0, _HEYWOOD),
    Guide("ordinary petrol car", 16.0, 16.0, _MAGAZINE),
    Guide("sport and motorcycle", 20.0, 25.0, _MAGAZINE),
    Guide("circuit racing", 25.0, 25.0, _MAGAZINE),
    Guide("drag racing", 30.0, 30.0, _MAGAZINE),
)
_KHURMI = "Khurmi and Gupta, A Textbook of Machine Design (public excerpt)"
_PIN_MEMORY = "typical, unverified: trade (from memory)"
_KOLCHIN = "Kolchin and Demidov, Design of Automotive Engines (from memory)"
PIN_PRESSURE_GUIDES = (  # [Pa]
    Guide("boss in aluminium", 0.0, 69e6, "Neale, The Tribology Handbook, sheet B16"),
    Guide("small end, bronze bush", 0.0, 25e6, _KHURMI),
    Guide("boss, modern petrol", 55e6, 70e6, _PIN_MEMORY),
    Guide("small end, modern petrol", 60e6, 90e6, _PIN_MEMORY),
)
PIN_STRESS_GUIDES = (  # [Pa]
    Guide("bending", 100e6, 250e6, _KOLCHIN),
    Guide("shear", 60e6, 250e6, _KOLCHIN),
    Guide("hoop stress by ovalisation", 300e6, 350e6, _KOLCHIN),
)
PIN_BORE_RATIOS = (0.4, 0.8)  # that the ovality was fitted to (from memory)
PIN_OVALISATION_GUIDE = Guide("growth of the diameter [m]", 0.02e-3, 0.05e-3, _KOLCHIN)

# Ring thickness [m] and the piston acceleration [m/s²] at which flutter begins: Jennings,
# Two-Stroke Tuner's Handbook, 1973, printed in inches and feet a second squared.
FLUTTER_THRESHOLDS = tuple(
    (inches * _INCH, feet * _FOOT)
    for inches, feet in (
        (0.039, 138_000.0),
        (0.047, 106_000.0),
        (0.063, 80_000.0),
        (0.094, 53_000.0),
        (0.125, 40_000.0),
    )
)


def speed_at_piston_speed(train: SliderCrank, mean_piston_speed: float) -> float:
    """Return the crank speed [rad/s] at a mean piston speed [m/s], π c / S with the true stroke.

    References
    ----------
    Heywood, Internal Combustion Engine Fundamentals, equation 2.9 (from memory).
    """
    return math.pi * mean_piston_speed / train.stroke


def peak_acceleration(train: SliderCrank, speed: float) -> float:
    """Return the piston's acceleration at TDC [m/s²], r ω² (1 + r/l), at a speed [rad/s].

    Exact without pin offset, and then the largest of the cycle.

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., chapter 15 (public worked solutions).
    """
    return train.crank_radius * speed**2 * (1 + train.crank_radius / train.rod_length)


def speed_at_acceleration(train: SliderCrank, acceleration: float) -> float:
    """Return the speed [rad/s] at which `peak_acceleration` reaches an acceleration [m/s²].

    Reference: inverse of `peak_acceleration`.
    """
    return math.sqrt(acceleration / peak_acceleration(train, 1.0))


def flutter_acceleration(ring_thickness: float) -> float:
    """Return the piston acceleration [m/s²] at which a ring of a thickness [m] begins to flutter.

    Between rows of the table along a power law. A flag for a design review, no law: the ring's
    mass, speed and the balance of pressures decide; see `ring_seat_force`.

    Raises
    ------
    DesignError outside the table, 0.99 to 3.18 mm.

    References
    ----------
    Jennings, Two-Stroke Tuner's Handbook, 1973 (as reprinted).
    """
    thickness, acceleration = np.array(FLUTTER_THRESHOLDS).T
    low, high = thickness[0], thickness[-1]
    slack = 1e-9 * high
    if not low - slack <= ring_thickness <= high + slack:
        raise DesignError(
            "ring_thickness", f"must be {low:.5f} to {high:.5f} m (got {ring_thickness:g} m)"
        )
    logarithm = np.interp(math.log(ring_thickness), np.log(thickness), np.log(acceleration))
    return math.exp(float(logarithm))


@dataclass(frozen=True, slots=True)
class Ring:
    """A piston ring: its mass and the area of a flank that pressure acts on."""

    mass: float  # [kg]
    flank_area: float  # [m²]


def ring_seat_force(
    ring: Ring,
    piston_acceleration: Array,
    piston_velocity: Array,
    pressure_drop: BySpeed,
    friction: Array | float = 0.0,
) -> GasAndInertia:
    """Return the force of a ring on the lower flank of its groove [N], of the arrays' shape.

    Negative is a ring that lifts.

    Parameters
    ----------
    piston_acceleration, piston_velocity : at 1 rad/s, positive toward the crank
    pressure_drop : above the ring less below it [Pa]
    friction : of the bore on the ring, its size [N]; taken not to depend on speed

    Notes
    -----
    Δp A - F_f sign(v) - m a: the seat is what the ring, moving with the piston, still needs.

    References
    ----------
    Newton's second law for the ring.
    """
    drag = friction * np.sign(piston_velocity)
    seat = pressure_drop.mapped(lambda drop: drop * ring.flank_area - drag)
    return GasAndInertia(seat, -ring.mass * piston_acceleration)


@dataclass(frozen=True, slots=True)
class PistonPin:
    """A floating pin in small end and bosses [m]."""

    outer_diameter: float
    inner_diameter: float
    length: float
    small_end_width: float
    boss_gap: float  # between the bosses

    def __post_init__(self) -> None:
        """Refuse what does not go together."""
        self._check("inner_diameter", "outer_diameter")
        self._check("small_end_width", "boss_gap")
        self._check("boss_gap", "length")

    def _check(self, field: str, limit: str) -> None:
        found, most = getattr(self, field), getattr(self, limit)
        if not 0 < found < most < math.inf:
            raise DesignError(
                field, f"must be above 0 and below {limit}, {most:g} m (got {found:g} m)"
            )

    @property
    def bore_ratio(self) -> float:
        """Inner over outer diameter."""
        return self.inner_diameter / self.outer_diameter

    @property
    def mean_radius(self) -> float:
        """Radius of the middle of its wall [m]."""
        return (self.outer_diameter + self.inner_diameter) / 4

    @property
    def wall(self) -> float:
        """Thickness of its wall [m]."""
        return (self.outer_diameter - self.inner_diameter) / 2

    @property
    def thin(self) -> bool:
        """Whether its wall is thinner than the ovality was fitted to: it counts as a thin ring."""
        return self.bore_ratio > PIN_BORE_RATIOS[1]


HOOP_PLACES = (  # tension positive
    "outside, square to the load",
    "inside, square to the load",
    "outside, at the load",
    "inside, at the load",
)


@frozen_record
class PinStress:
    """Stress, growth and pressure of a pin, each of the load's shape and sign."""

    bending: Array  # [Pa]
    shear: Array  # [Pa]
    ovalisation: Array  # growth of the diameter [m]
    hoop: Array  # [Pa] (4, …), at the places of `HOOP_PLACES`
    small_end_pressure: Array  # [Pa]
    boss_pressure: Array  # [Pa]


def pin_stress(pin: PistonPin, load: Array, elastic_modulus: float) -> PinStress:
    """Return the classical results for a pin under loads [N] of any shape; modulus in [Pa].

    All are in proportion to the load, so gas and inertia parts may be given one by one.
    A bore ratio above 0.8 counts as a thin ring under two opposite loads, which asks more of it;
    below 0.4 ovality is not fitted and its three results are NaN.

    References
    ----------
    Kolchin and Demidov, Design of Automotive Engines, piston pin (from memory).
    """
    ratio, d = pin.bore_ratio, pin.outer_diameter
    hollow = 1 - ratio**4
    span = pin.length + 2 * pin.boss_gap - 1.5 * pin.small_end_width
    oval = (
        thin_ring(pin, load, elastic_modulus)
        if pin.thin
        else (_fitted_ovality(pin, load, elastic_modulus))
    )
    return PinStress(
        bending=load * span / (1.2 * hollow * d**3),
        shear=0.85 * load * (1 + ratio + ratio**2) / (hollow * d**2),
        ovalisation=oval.growth,
        hoop=oval.hoop,
        small_end_pressure=projected_pressure(load, d, pin.small_end_width),
        boss_pressure=projected_pressure(load, d, pin.length - pin.boss_gap),
    )


@frozen_record
class Ovality:
    """What a load across it does to a pin as a ring, each of the load's shape."""

    growth: Array  # [m] of the diameter square to the load
    hoop: Array  # [Pa] (4, …), at the places of `HOOP_PLACES`


def thin_ring(pin: PistonPin, load: Array, elastic_modulus: float) -> Ovality:
    """Return growth and hoop stress of a pin as a thin ring between two opposite point loads.

    Loads [N] of any shape, modulus [Pa]. With R the mean radius, t the wall and I = l t³/12:
    growth (2/π - 1/2) P R³/(E I); moments P R (1/2 - 1/π) square to the loads, where P/2 pushes
    as well, and P R/π at them.

    References
    ----------
    Timoshenko, Strength of Materials, part II, thin rings (from memory).
    """
    radius, wall = pin.mean_radius, pin.wall
    inertia, modulus = pin.length * wall**3 / 12, pin.length * wall**2 / 6
    square = load * radius * (0.5 - 1 / math.pi) / modulus
    push, at_load = load / (2 * pin.length * wall), load * radius / math.pi / modulus
    return Ovality(
        growth=(2 / math.pi - 0.5) * load * radius**3 / (elastic_modulus * inertia),
        hoop=np.stack((square - push, -square - push, -at_load, at_load)),
    )


def _fitted_ovality(pin: PistonPin, load: Array, elastic_modulus: float) -> Ovality:
    """Return growth and hoop stress by the fitted spread of the load, NaN below its range."""
    a = pin.bore_ratio
    wall = 1 - a
    spread = 0.1 - (a - 0.4) ** 3 if a >= PIN_BORE_RATIOS[0] else math.nan
    outer, inner = (2 + a) * (1 + a) / wall**2, (1 + 2 * a) * (1 + a) / (wall**2 * a)
    factors = (
        0.19 * outer - 1 / wall,
        -0.19 * inner - 1 / wall,
        -0.174 * outer - 0.636 / wall,
        0.174 * inner - 0.636 / wall,
    )
    size = 15 * load / (pin.length * pin.outer_diameter) * spread
    growth = 1.35 * ((1 + a) / wall) ** 3 * spread
    return Ovality(
        growth=load * growth / (elastic_modulus * pin.length),
        hoop=np.stack([factor * size for factor in factors]),
    )


def simple_pin_bending(load: Array, bore: float, pin: PistonPin) -> Array:
    """Return the bending stress [Pa] of a pin as a beam, M = P D / 8; load [N], bore [m].

    σ = 32 M d / (π (d⁴ - di⁴)).

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, chapter 32, piston pin (public excerpt).
    """
    d, di = pin.outer_diameter, pin.inner_diameter
    return 32 * (load * bore / 8) * d / (math.pi * (d**4 - di**4))


def projected_pressure(load: Array, diameter: float, width: float) -> Array:
    """Return load [N] over the bearing's projected area [Pa], its sides in [m].

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, chapter 32 (public excerpt).
    """
    return load / (diameter * width)
