"""What goes wrong with a design, said so that the reader can mend it."""

import difflib
from collections.abc import Iterable

MOST_NAMES = 40  # that a message lists


class DesignError(ValueError):
    """A value that a design cannot have: which field, what was found, what is allowed.

    Attributes
    ----------
    field : str
        Key as in the design file ("cylinder.bore_mm"), or "" where no single field is to blame.

    >>> from kinematics import DesignError, load_demo, with_value
    >>> try:
    ...     with_value(load_demo("hill_climb_six"), "cylinder.bore_mm", 5)
    ... except DesignError as error:
    ...     print(error.field)
    cylinder.bore_mm
    """

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        self.message = message
        super().__init__(f"{field}: {message}" if field else message)

    def __reduce__(self) -> tuple[type, tuple[str, str]]:
        return (type(self), (self.field, self.message))


def check_one_of(field: str, value: str, allowed: Iterable[str]) -> None:
    """Raise DesignError with a field unless its value is one of those allowed."""
    names = tuple(allowed)
    if value not in names:
        raise DesignError(field, f"must be one of {', '.join(names)} (got {str(value)[:20]!r})")


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint for a wrong name: the known one that is nearest, or all that are allowed."""
    names = list(known)
    near = difflib.get_close_matches(name[:80], names, 1)
    if near:
        return f"did you mean {near[0]}?"
    more = " and others" if len(names) > MOST_NAMES else ""
    return f"must be one of {', '.join(names[:MOST_NAMES])}{more}"
