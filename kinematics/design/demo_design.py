"""The invented engines that come with the program, by name."""

from importlib.resources import files
from pathlib import Path

from kinematics.design.design import Design
from kinematics.design.design_file import load_design
from kinematics.errors import DesignError, nearest

DEMO_FOLDER = "assets_demo"  # a package of data that imports nothing


def load_demo(name: str) -> Design:
    """Return a demonstration design by the name of its file, "hill_climb_six" for one.

    Parameters
    ----------
    name : stem of a file of `assets_demo`

    Returns
    -------
    The design; fields in SI.

    Raises DesignError that suggests the nearest name, or lists them all.

    >>> from kinematics import load_demo
    >>> load_demo("pilot_boat_six")
    Design('Pilot-boat six': 6 cylinders, 4-stroke, bore 120 mm, stroke 150 mm, rated speed
    2300 rpm)
    """
    folder = Path(str(files(DEMO_FOLDER)))
    known = sorted(path.stem for path in folder.glob("*.toml"))
    if name not in known:
        raise DesignError("", f"no demonstration design {name[:80]!r}; {nearest(name, known)}")
    return load_design(folder / f"{name}.toml")
