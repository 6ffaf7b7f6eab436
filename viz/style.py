"""Colours, line styles and sizes: colour says cause, and the line style says it again."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cause:
    """How one cause is drawn; the colours are of Okabe and Ito's palette, or follow the theme."""

    label: str
    role: str  # name of the colour in the theme
    dash: str
    width: float


GAS = Cause("gas", "gas", "dashed", 1.8)
INERTIA = Cause("inertia", "inertia", "dotdash", 1.8)
BOTH = Cause("both", "text", "solid", 2.4)
REFERENCE = Cause("reference", "reference", "solid", 1.4)
FIRST_ORDER = Cause("1st order", "inertia", "dashed", 1.8)
SECOND_ORDER = Cause("2nd order", "second", "dotted", 2.0)
ALLOWED = Cause("allowed", "bad", "dashed", 1.8)
MEAN = Cause("mean", "mean", "dashed", 1.6)

# The browser replaces these by the theme in force; they are the light theme's.
LIGHT = {
    "text": "#1b1f24",
    "muted": "#59636e",
    "grid": "#d8dde3",
    "zero": "#8a949e",
    "paper": "#ffffff",
    "gas": "#D55E00",
    "inertia": "#0072B2",
    "second": "#8a3a74",
    "mean": "#006b50",
    "reference": "#848d97",
    "band": "#f0f3f6",
    "edge": "#8a949e",
    "steel": "#c9d1d9",
    "good": "#007a58",
    "warn": "#8f6200",
    "bad": "#a33f77",
}

FONT = "system-ui, sans-serif"
LABEL_SIZE = "13px"
