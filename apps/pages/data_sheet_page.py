"""The data sheet's page: every entry of the design by part, with unit, range, origin and note."""

from collections.abc import Collection
from typing import Any

from apps.components.data_sheet import DataSheet
from apps.controls.new_design_form import design_asked_for, new_design_fields
from apps.controls.sheet_edit import read_edits
from apps.controls.sheet_rows import Row, sheet_csv, sheet_parts, sheet_rows
from apps.file_stem import file_stem
from apps.page_registry import DATA_SHEET
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from kinematics import DesignError
from kinematics.design.design_groups import ENTRIES, without_group
from kinematics.design.design_origin import WORDS
from kinematics.design.group_by_rules import with_group_by_rules

MOST_PATCHED = 40  # rows, beyond which all are sent anew


class DataSheetPage(DesignPage):
    """One table of all entries; passes on the rows that change."""

    entry = DATA_SHEET

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.sheet = DataSheet(self.handle_message, words=list(WORDS), sizing_mode="stretch_both")
        self._sent: dict[str, Row] = {}
        self.show_rows()
        state.param.watch(lambda *_: self.show_rows(), ["cycle"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate("data_sheet/data_sheet", {"bar": self.bar, "sheet": self.sheet})

    @property
    def own_keys(self) -> Collection[str]:
        """The keys of all entries."""
        return ENTRIES.keys()

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the sheet asks for."""
        if message["kind"] == "table":
            name = f"{file_stem(self.state.design.name)}-data-sheet.csv"
            self.bar.offer_file(name, sheet_csv(self.state.design))
        elif message["kind"] == "edit":
            self._edit(message["cells"], message["serial"])
        elif message["kind"] == "add":
            self._add(message["group"])
        elif message["kind"] == "remove":
            self._remove(message["group"])
        elif message["kind"] == "create":
            self._create(message["form"])

    def _add(self, group: str) -> None:
        try:
            self.state.use_design(with_group_by_rules(self.state.design, group))
        except DesignError as error:
            self.state.message = (f"The part was not added. {error}", True)

    def _remove(self, group: str) -> None:
        try:
            self.state.use_design(without_group(self.state.design, group))
        except DesignError as error:
            self.state.message = (f"The part was not removed. {error}", True)

    def _create(self, form: Any) -> None:
        design, problems = design_asked_for(form)
        if design is not None:
            try:
                self.state.open_design(design)
            except DesignError as error:
                problems = {"": str(error)}
        self.sheet.created(problems)

    def _edit(self, cells: Any, serial: int) -> None:
        try:
            refused = self.state.edit(read_edits(cells))
        except DesignError as error:
            self.state.message = (f"Nothing was changed. A change {error}.", True)
            self.sheet.answer(serial, [])
            return
        self.sheet.answer(
            serial,
            [
                {"key": edit.key, "column": edit.column, "text": edit.text, "problem": why}
                for edit, why in refused
            ],
        )

    def show_rows(self) -> None:
        """Send the rows that differ from those sent before; all of them where there are others."""
        rows = {row["key"]: row for row in sheet_rows(self.state.design)}
        self.sheet.fields = new_design_fields(self.state.design)
        changed = {key: row for key, row in rows.items() if row != self._sent.get(key)}
        parts = sheet_parts(self.state.design)
        same = rows.keys() == self._sent.keys() and parts == self.sheet.parts
        if same and len(changed) <= MOST_PATCHED:
            self.sheet.patch = changed
            return
        self._sent = rows
        self.sheet.param.update(parts=parts, rows=list(rows.values()), patch={})
