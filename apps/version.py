"""The program's version."""

from importlib.metadata import PackageNotFoundError, version


def program_version() -> str:
    """Return the program's version, or a word where it is run without being installed."""
    try:
        return version("sixthrow")
    except PackageNotFoundError:
        return "not installed"
