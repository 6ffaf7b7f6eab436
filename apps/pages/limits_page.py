"""The limits page: which part sets the speed limit, why, and what would move it."""

from typing import Any

from apps.background_task import BackgroundTask
from apps.components.charts import LimitCharts
from apps.components.ladder_view import LadderView
from apps.components.rung_sheet import RungSheet
from apps.controls.limit_controls import GROUPS
from apps.file_stem import file_stem
from apps.page_registry import LIMITS
from apps.pages.design_page import unbroken_json
from apps.pages.ladder_page import LadderPage
from apps.pages.own_criteria import OwnCriteria
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from kinematics.limits.speed_limits import Ladder
from kinematics.shaft.damper_optimum import damper_optima, with_damper_values
from viz.limits.limit_board import bands_by_rung, first_key, ladder_message, sheet_message
from viz.limits.limit_charts import limit_pictures, rung_charts, view_names
from viz.limits.margin_table import margin_table_csv
from viz.placed import placed


class LimitsPage(LadderPage):
    """The ladder of speed limits beside the rung that is selected; keeps the last good ladder."""

    entry = LIMITS
    unchanged = "The limits are unchanged."
    groups = GROUPS

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.pictures = placed(limit_pictures)
        self.charts = LimitCharts()
        self.ladder = LadderView(self.handle_message, sizing_mode="stretch_both")
        self.sheet = RungSheet(self.handle_message, sizing_mode="stretch_width")
        self.own = OwnCriteria(state, self.pick)
        self._misfire_task = BackgroundTask()
        self._band_task = BackgroundTask()
        self._bands: dict[str, Any] = {}  # of the ladder's rungs, as far as they are computed
        self._serial = 0  # of the ladder shown, so that no bands of another are
        self._longer = BackgroundTask()
        self._view = 0  # which of the selected rung's own plots is shown
        self._show()

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "limits/limits",
            {
                "bar": self.bar,
                "controls": self.controls,
                "ladder": self.ladder,
                "sheet": self.sheet,
                "own": self.own.form,
                "charts": self.charts,
            },
            self.pictures.values(),
            plots=list(self.pictures.values()),
        )

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the ladder asks for."""
        if message.get("kind") == "pick":
            self.pick(str(message.get("key"))[:200])
        elif message.get("kind") == "view":
            self.view(message.get("index"))
        elif message.get("kind") == "damper":
            self.use_damper(str(message.get("choice")))
        elif message.get("kind") == "table":
            name = f"{file_stem(self.state.design.name)}-limits.csv"
            self.bar.offer_file(name, margin_table_csv(self._ladder))

    @property
    def selected_key(self) -> str:
        """The key of the rung that is selected."""
        return self.ladder.selected

    def pick(self, key: str) -> None:
        """Show another rung of the ladder; a key that it has not is let go."""
        if key in self._keys():
            self._view = 0 if key != self.ladder.selected else self._view
            self._show_rung(key)

    def view(self, index: Any) -> None:
        """Show another plot of the selected rung; one that it has not is let go."""
        selected = self.ladder.selected
        if (
            selected
            and isinstance(index, int)
            and 0 <= index < len(view_names(self._ladder, selected))
        ):
            self._view = index
            self._show_rung(selected)

    def _show_other(self, before: Ladder) -> None:
        """Show the ladder of another design; one of another name is read from its first rung."""
        if self._ladder.design.name != before.design.name:
            self.ladder.selected = ""
        self._show()

    def _keys(self) -> list[str]:
        return [rung["key"] for rung in self._message["rungs"]]

    def _show(self) -> None:
        """Send the ladder; the selected rung stays selected where the ladder still has it.

        Marks of the worst misfire follow in the page's next turn, bands as they are computed.
        """
        self._serial, self._bands, self.ladder.bands = self._serial + 1, {}, ""
        self._send_ladder(with_misfires=False)
        self._misfire_task.after(lambda: self._send_ladder(with_misfires=True))
        kept = self.ladder.selected in self._keys()
        self._view = self._view if kept else 0
        self._show_rung(self.ladder.selected if kept else first_key(self._ladder))
        bands = bands_by_rung(self._ladder, self._reference)
        self._band_task.start(bands, self._show_bands, lambda _: None)

    def _show_bands(self, found: dict[str, Any]) -> None:
        """Show the bands that are computed so far, on the ladder and the selected rung's sheet."""
        key = self.ladder.selected
        news = key in found["bands"] and key not in self._bands
        self._bands = found["bands"]
        self.ladder.bands = unbroken_json(found | {"of": self._serial})
        if news:
            self._show_rung(key)

    def _send_ladder(self, *, with_misfires: bool) -> None:
        later = {"with_misfires": with_misfires, "with_bands": False}
        self._message = ladder_message(self._ladder, self._reference, self.reference_text, **later)
        named = {"name": self._ladder.design.name, "serial": self._serial}
        self.ladder.ladder = unbroken_json(self._message | named)

    def _show_rung(self, key: str) -> None:
        self.ladder.selected = key
        if not key:  # an empty ladder: nothing can be judged
            self.sheet.sheet = ""
            return
        charts = rung_charts(self._ladder, key, self._reference, self._view)
        self.charts.draw(**charts)
        over_speed, own = (*(chart.title for chart in charts.values()), "", "")[:2]
        titles = {
            "speed_title": over_speed,
            "own_title": own,
            "views": view_names(self._ladder, key),
            "view": self._view,
        }
        self._send_sheet(key, titles, is_quick=True)
        self._longer.after(lambda: self._send_sheet(key, titles, is_quick=False))

    def _send_sheet(self, key: str, titles: dict[str, Any], *, is_quick: bool) -> None:
        """Send the sheet; what takes longer follows in the page's next turn."""
        message = sheet_message(self._ladder, key, is_quick=is_quick)
        message |= {"band": self._bands.get(key)}
        self.sheet.sheet = unbroken_json(message | titles)

    def use_damper(self, choice: str) -> None:
        """Give the design the damper of the formula or of the chain; another choice is ignored."""
        design = self.state.design
        if choice == "formula":
            self.state.use_design(with_damper_values(design, None))
        elif choice == "chain" and design.torsion and design.torsion.damper != "none":
            self.state.use_design(with_damper_values(design, damper_optima(design).chain.damper))
