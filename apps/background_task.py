"""Work that may wait: of seconds in a thread beside the server's, of less in the next turn."""

from collections.abc import Callable, Iterable
from contextvars import copy_context
from threading import Thread
from typing import Any

import panel as pn
from bokeh.io import curdoc
from tornado.ioloop import IOLoop

from apps.failures import as_refusal, guarded
from kinematics import DesignError


class BackgroundTask:
    """One piece of work at a time; starting another, or stopping, drops the one under way."""

    def __init__(self) -> None:
        self._run = 0

    def start(
        self,
        steps: Iterable[Any],
        show: Callable[[Any], None],
        refuse: Callable[[DesignError], None],
    ) -> None:
        """Hand each step to `show` in the page's turn, or what stopped them to `refuse`.

        An error that is no DesignError is logged and handed on in plain words. What was dropped
        is handed to nobody. The page's units hold in the thread and out of it; the thread itself
        touches no document.
        """
        self._run += 1
        run, document, loop = self._run, pn.state.curdoc or curdoc(), IOLoop.current()

        def later(tell: Callable[[Any], None], what: Any) -> None:
            context = copy_context()

            def turn() -> None:
                if run == self._run:
                    context.run(self._tell, tell, what, refuse)

            loop.add_callback(document.add_next_tick_callback, turn)

        def work() -> None:
            try:
                for step in steps:
                    if run != self._run:
                        return
                    later(show, step)
            except Exception as error:
                later(refuse, as_refusal(error))

        Thread(target=copy_context().run, args=(work,), daemon=True).start()

    def after(self, show: Callable[[], None]) -> None:
        """Do something in the page's next turn, once what was changed so far is on its way.

        It drops the work under way. Without a page to be sent to it is done at once.
        """
        self._run += 1
        run, document, context = self._run, pn.state.curdoc, copy_context()
        if document is None or document.session_context is None:
            show()
            return
        document.add_next_tick_callback(
            lambda: context.run(guarded, show) if run == self._run else None
        )

    def stop(self) -> None:
        """Drop the work under way; its thread ends at its next step."""
        self._run += 1

    def _tell(
        self, tell: Callable[[Any], None], what: Any, refuse: Callable[[DesignError], None]
    ) -> None:
        """Hand something on; where that fails the rest is dropped, and the failure is said."""
        try:
            tell(what)
        except Exception as error:
            self.stop()
            refusal = as_refusal(error)
            guarded(lambda: refuse(refusal))
