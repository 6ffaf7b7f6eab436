"""The button that computes the map of film thickness over speed and load, as a component."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class FilmSurvey(AskingComponent):
    """Asks with `{kind: "survey", of, serial}` for the map of "big_end" or "main" bearings.

    The browser shows that it is being made until `answered` has reached the serial, with `words`
    on how far it is; `{kind: "cancel", serial}` gives it up.
    """

    words = param.String(default="", doc="what the map is of, or why there is none")
    stale = param.Boolean(default=True, doc="whether the map is not of the present design")
    kind = param.String(default="big_end", doc="the kind of bearing whose map is shown")
    title = param.String(default="", doc="title of the map's figure")
    shape_title = param.String(default="", doc="title of the figure over the crown")
    answered = param.Integer(default=0, doc="serial of the last map asked for")

    _esm = bundle("film/film_survey.js")
    _stylesheets = styles("shared/base.css", "film/film_survey.css")
