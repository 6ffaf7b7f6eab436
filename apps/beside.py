"""Work that may wait: of seconds in a thread beside the server's, of less in the next turn."""

from collections.abc import Callable, Iterable
from contextvars import copy_context
from threading import Thread
from typing import Any

import panel as pn

from kinematics import DesignError


class Beside:
    """One piece of work at a time; starting another, or stopping, drops the one under way."""

    def __init__(self) -> None:
        self._run = 0

    def start(
        self,
        steps: Iterable[Any],
        show: Callable[[Any], None],
        refuse: Callable[[DesignError], None],
    ) -> None:
        """Hand each step to `show` in the page's turn, or an error to `refuse`.

        What was dropped is handed to nobody. The page's units hold in the thread and out of it.
        """
        self._run += 1
        run, document = self._run, pn.state.curdoc

        def told(tell: Callable[[Any], None], what: Any) -> None:
            context = copy_context()
            document.add_next_tick_callback(
                lambda: context.run(tell, what) if run == self._run else None
            )

        def work() -> None:
            try:
                for step in steps:
                    if run != self._run:
                        return
                    told(show, step)
            except DesignError as error:
                told(refuse, error)

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
        document.add_next_tick_callback(lambda: context.run(show) if run == self._run else None)

    def stop(self) -> None:
        """Drop the work under way; its thread ends at its next step."""
        self._run += 1
