"""The charts of a page's figures, sent as they change."""

import param

from apps.components.asking import BrowserComponent
from viz.browser import bundle
from viz.chart import Chart
from viz.chart_figure import chart_message


class Charts(BrowserComponent):
    """What a page's figures show: a parameter of each figure's name, a chart's message."""

    _esm = bundle("figures/charts.js")

    def draw(self, **charts: Chart) -> None:
        """Draw charts in the figures of their names."""
        self.param.update(**{name: chart_message(chart) for name, chart in charts.items()})


class TrainCharts(Charts):
    """The charts of the crank train's page: over speed, and of imports."""

    speed_pressure = param.Dict(default={}, doc="peak pressure and IMEP over speed")
    speed_torque = param.Dict(default={}, doc="torque over speed")
    speed_power = param.Dict(default={}, doc="power over speed")

    curve_torque = param.Dict(default={}, doc="torque of an imported full-load curve")
    trace_course = param.Dict(default={}, doc="its cycles over the crank angle")
    trace_log = param.Dict(default={}, doc="log pressure over log volume")


class LimitCharts(Charts):
    """The charts of the selected rung."""

    limit_speed = param.Dict(default={}, doc="its value against speed")
    limit_own = param.Dict(default={}, doc="the part's own chart")
    limit_polar = param.Dict(default={}, doc="the same where it is polar")


class StoryboardCharts(Charts):
    """The chart of a step's limit, full load or shaft."""

    limit_speed = param.Dict(default={}, doc="value against speed")
    limit_own = param.Dict(default={}, doc="the limit's own chart")
    shaft_mains = param.Dict(default={}, doc="peak load of every main")
    shaft_moment = param.Dict(default={}, doc="internal bending moment along the shaft")
    shaft_front = param.Dict(default={}, doc="inertia against main load")
    scatter_sizes = param.Dict(default={}, doc="distribution of the residual")
    scatter_shares = param.Dict(default={}, doc="contributions to the scatter")
    speed_pressure = param.Dict(default={}, doc="peak pressure and IMEP over speed")
    speed_torque = param.Dict(default={}, doc="torque over speed")
    speed_power = param.Dict(default={}, doc="power over speed")


class FilmCharts(Charts):
    """The charts of the bearings' films."""

    film_survey = param.Dict(default={}, doc="over speed and load")
    film_shape = param.Dict(default={}, doc="over the crown of the selected bearing")


class ShaftCharts(Charts):
    """The charts of the shaft's tabs."""

    shaft_mains = param.Dict(default={}, doc="peak load of every main")
    shaft_moment = param.Dict(default={}, doc="internal bending moment along the shaft")
    shaft_front = param.Dict(default={}, doc="inertia against main load")
    shaft_front_moment = param.Dict(default={}, doc="moment against main load")
    scatter_front = param.Dict(default={}, doc="residual unbalance, front plane")
    scatter_rear = param.Dict(default={}, doc="the same, rear plane")
    scatter_sizes = param.Dict(default={}, doc="distribution of the residual")
    scatter_shares = param.Dict(default={}, doc="contributions to the scatter")


class VariantCharts(Charts):
    """The chart of the review's variants."""

    variant_curves = param.Dict(default={}, doc="a quantity of all, or their differences")
