"""What may be changed on the shaft's page: all that moves its weight, inertia and loads."""

from apps.controls.controls import (
    CONTINUOUS_SHAFT,
    FIRING_KEYS,
    FROM_GEOMETRY,
    OPERATING_POINT,
    SPEED,
    Groups,
)

GROUPS: Groups = (
    (OPERATING_POINT, True, (SPEED, *FIRING_KEYS)),
    (
        "Counterweights",
        True,
        ("counterweight", "shaft.counterweight_half_angle_deg", "shaft.counterweight_radius_mm"),
    ),
    (
        "Webs",
        True,
        (
            "crank_throw.web_thickness_mm",
            "shaft.web_main_end_mm",
            "shaft.web_pin_end_mm",
        ),
    ),
    (
        "Web lightening",
        True,
        (
            "shaft.web_chamfer_depth_mm",
            "shaft.web_chamfer_angle_deg",
            "shaft.web_pocket_diameter_mm",
            "shaft.web_pocket_depth_mm",
            "shaft.web_pocket_offset_mm",
            "shaft.web_relief_percent",
            FROM_GEOMETRY,
        ),
    ),
    (
        "Journals",
        True,
        (
            "big_end.diameter_mm",
            "main_bearing.diameter_mm",
            "crank_throw.pin_bore_mm",
            "crank_throw.journal_bore_mm",
            "crank_throw.oil_bore_mm",
        ),
    ),
    ("Main bearings", True, (CONTINUOUS_SHAFT, "mains.stiffness")),
    (
        "Spacing",
        False,
        ("layout.throw_spacing_mm", "crank.web_offset_mm", "cylinder.stroke_mm"),
    ),
    (
        "Masses",
        False,
        ("piston.assembly_mass_g", "rod.mass_g", "crank.throw_unbalance_kg_mm"),
    ),
)
