"""What goes wrong with a design, said so that the reader can mend it."""


class DesignError(ValueError):
    """A value that a design cannot have: which field, what was found, what is allowed.

    Attributes
    ----------
    field : str
        Key as in the design file ("cylinder.bore_mm"), or "" where no single field is to blame.
    """

    def __init__(self, field: str, message: str) -> None:
        self.field = field
        self.message = message
        super().__init__(f"{field}: {message}" if field else message)

    def __reduce__(self) -> tuple[type, tuple[str, str]]:
        return (type(self), (self.field, self.message))
