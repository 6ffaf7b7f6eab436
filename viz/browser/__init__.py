"""What runs in the browser: JavaScript and CSS, handed out as text."""

from importlib.resources import files

NUMBERS = ("number_words", "tick_labels")  # in the head of every page, after Bokeh
FIGURES = (
    "shared", "scene", "strokes", "page_models", "plots", "recolour", "figures", "picture_button",
)  # fmt: skip
CANVAS = ("canvas_size", "mixed_colours", "svg_context", "centre_line")
TRAIN_DRAWING = ("train_outlines", "train_plan", "train_block", "train_arrows", "train_drawing")
FILM_DRAWING = ("marks", "film_scene", "film_picture", "film_drawing", "film_load")
TRAIN = (*FIGURES, "tabs", "time_bar", *CANVAS, *TRAIN_DRAWING, "train_view")
FILM = (*FIGURES, "tabs", "time_bar", *CANVAS, *FILM_DRAWING, "picking", "film_wall", "film_view")
FIGURE_FILES = ("csv_text", "figure_tables", "figure_pictures")
SHAFT = (
    "shared", "page_models", "recolour", "tabs", *CANVAS, "train_outlines", "train_plan",
    "picture_button", "shaft_picture", "shaft_turning", "shaft_view",
)  # fmt: skip
PAGE_LINES = ("picture_button", "page_lines")
LADDER = ("shared", "page_models", "recolour", "marks", "picking", *PAGE_LINES, "ladder")


def script(*names: str) -> str:
    """Return JavaScript files (names without ending) joined into one module scope, in order."""
    return "\n".join(text(f"{name}.js") for name in names)


def text(name: str) -> str:
    """Return a file of this folder as text."""
    return (files(__name__) / name).read_text(encoding="utf-8")
