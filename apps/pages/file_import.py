"""What the imports of measured files share: a file, the form's fields, what stands beside them."""

from abc import ABC, abstractmethod
from collections.abc import Callable
from pathlib import Path
from typing import Any

from apps.components.import_form import ImportForm
from apps.controls.form_number import form_choice
from apps.state import AppState
from kinematics import DesignError
from kinematics.design.design_file import clean_text
from kinematics.mechanics.trace_file import (
    DECIMALS,
    FEWEST_ROWS,
    SEPARATORS,
    Dialect,
    TraceTable,
    read_table,
)
from viz.number_words import unbroken

LONGEST_NAME = 120


class FileImport(ABC):
    """Reads a file for a form and answers each change of its fields; nothing changes until used."""

    fewest_rows = FEWEST_ROWS
    form_fields: tuple[str, ...] = ("file", "columns", "separator", "decimal")
    form: ImportForm

    def __init__(self, state: AppState) -> None:
        self._state = state
        self._content, self._name = "", ""
        self._table: TraceTable | None = None
        self._shown: dict[str, Any] = {}  # sent once a message, so that no button flickers

    @abstractmethod
    def _propose(self, table: TraceTable) -> None:
        """Show a table as it is proposed to be taken."""

    @abstractmethod
    def _take_fields(self, table: TraceTable, form: dict[str, Any]) -> None:
        """Show a table as the form's fields have it."""

    @abstractmethod
    def _forget(self) -> None:
        """Forget what could be used."""

    @abstractmethod
    def _use(self) -> None:
        """Change the design as is shown; DesignError where nothing can be used."""

    def handle(self, message: dict[str, Any]) -> None:
        """Do what the form asks for; whatever is wrong stands beside its field."""
        deeds: dict[str, Callable[[], None]] = {
            "file": lambda: self._open(str(message["name"]), str(message["text"])),
            "settings": lambda: self._set(message),
            "use": self._use_and_close,
            "close": self._close,
        }
        try:
            deeds[message["kind"]]()
        except DesignError as error:
            self._refuse(error)
        finally:
            self.form.shown = self._shown
            serial = message.get("serial")
            if type(serial) is int and serial >= 0:
                self.form.answered = serial

    def _open(self, name: str, content: str) -> None:
        self._close()
        self._name = clean_text(Path(name).name, LONGEST_NAME) or "file.csv"
        self._shown = {"file": self._name, "problems": {}}
        table = read_table(content, fewest_rows=self.fewest_rows)
        self._content = content
        self._propose(table)

    def _set(self, form: dict[str, Any]) -> None:
        """Take the form's fields; a new separator or decimal mark reads the file anew."""
        if self._table is None:
            return
        dialect = Dialect(
            form_choice(form, "separator", tuple(SEPARATORS)),
            form_choice(form, "decimal", tuple(DECIMALS)),
        )
        if dialect != self._table.dialect:
            self._propose(read_table(self._content, dialect, fewest_rows=self.fewest_rows))
            return
        self._take_fields(self._table, form)

    def _use_and_close(self) -> None:
        self._use()
        self._close()
        self.form.used += 1

    def _close(self) -> None:
        """Forget the file; the design stays as it is."""
        self._content, self._name = "", ""
        self._table = None
        self._forget()
        self._shown = {}

    def _refuse(self, error: DesignError) -> None:
        """Say beside its field what is wrong; nothing can be used until it is mended."""
        is_shown = "fields" in self._shown and error.field in self.form_fields
        field = error.field if is_shown else "file"
        shown = {key: value for key, value in self._shown.items() if key != "ready"}
        self._forget()
        self._shown = shown | {"problems": {field: unbroken(f"{error.message}.")}}

    def _rows_shown(self, table: TraceTable, roles: list[tuple[int, str]]) -> dict[str, Any]:
        """Return the file's first rows, and what a column of numbers may be taken for."""
        rows, columns = table.values.shape
        return {
            "file": self._name,
            "size": f"{rows} rows, {columns} columns",
            "names": list(table.names) or [f"column {place + 1}" for place in range(columns)],
            "rows": [[text[:24] for text in row] for row in table.first_rows],
            "numeric": list(table.is_number),
            "roles": [list(role) for role in roles],
            "problems": {},
        }


def form_roles(form: dict[str, Any], offered: str) -> tuple[int, ...]:
    """Return what each column is taken for; raises DesignError, which says what is offered."""
    roles = form.get("roles")
    if not isinstance(roles, list) or not all(type(role) is int for role in roles):
        raise DesignError("columns", f"must each be {offered}")
    return tuple(roles)
