"""What may be tried on the bearings page: sizes, clearances, shape, oil, and what loads them."""

from apps.controls.controls import CONTINUOUS_SHAFT, FIRING_KEYS, OPERATING_POINT, SPEED, Groups

GROUPS: Groups = (
    (OPERATING_POINT, True, (SPEED, "pressure.load_percent", *FIRING_KEYS)),
    (
        "Big ends",
        True,
        (
            "big_end.diameter_mm",
            "big_end.width_mm",
            "big_end.radial_clearance_um",
            "big_end.crown_um",
        ),
    ),
    (
        "Main bearings",
        True,
        (
            "main_bearing.diameter_mm",
            "main_bearing.width_mm",
            "main_bearing.radial_clearance_um",
            "main_bearing.crown_um",
            "main_bearing.groove_arc_deg",
            "main_bearing.groove_angle_deg",
            "main_bearing.groove_width_mm",
            CONTINUOUS_SHAFT,
            "mains.stiffness",
        ),
    ),
    (
        "Oil",
        True,
        (
            "oil.hot_grade",
            "oil.inlet_temperature_degC",
            "oil.supply_pressure_bar",
            "crank_throw.oil_bore_mm",
            "crank_throw.oil_hole_angle_deg",
            "oil.film_model",
            "oil.under_pressure",
            "oil.viscosity_mPa_s",
            "oil.viscosity_40_mm2_s",
            "oil.viscosity_100_mm2_s",
            "oil.high_shear_viscosity_mPa_s",
        ),
    ),
    (
        "Loads",
        False,
        (
            "pressure.peak_bar",
            "piston.assembly_mass_g",
            "rod.mass_g",
            "cylinder.stroke_mm",
            "cylinder.rod_length_mm",
            "counterweight",
        ),
    ),
    (
        "Allowable film thickness and oil feed",
        False,
        (
            "limits.big_end_film_um",
            "limits.main_film_um",
            "limits.film_filling_percent",
            "limits.full_load_from_rpm",
        ),
    ),
)
