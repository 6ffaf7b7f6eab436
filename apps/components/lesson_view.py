"""The lessons' browser component: the list with progress, and the steps of the open lesson."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class LessonView(AskingComponent):
    """Shows a lesson step by step; right answers come to the browser after the student's own.

    It asks with `{kind: "open", key, prediction}`, `{kind: "predict", choice, value or
    points}`, `{kind: "check", question, choice or value}`, `{kind: "step", step, question}` and
    `{kind: "file", name, text}`. Progress stays in the browser.
    """

    board = param.String(default="", doc="lessons: key, title; errors: texts; as JSON")
    lesson = param.String(default="", doc="what may be seen of the open lesson at once, as JSON")
    answer = param.String(default="", doc="what the prediction came to, as JSON, or empty")
    live = param.String(default="", doc="numbers, texts and plot of the present design, as JSON")
    checked = param.String(default="", doc="what the check's answer came to, as JSON, or empty")
    problem = param.String(default="", doc="what is wrong with a lesson file that was opened")

    _esm = bundle("lessons/lesson_view.js")
    _stylesheets = styles("shared/base.css", "lessons/lesson_view.css", "lessons/lesson_plot.css")
