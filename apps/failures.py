"""What went wrong inside the program: logged with its traceback, shown in plain words."""

import logging
import weakref
from collections.abc import Callable
from typing import Any

import panel as pn

from kinematics import DesignError

INTERNAL = "An internal error stopped this. The server's log has the details."

_log = logging.getLogger("sixthrow")


class MessageError(ValueError):
    """A message that a component of the page may not send: which, and what is wrong with it."""


def plain_words(error: BaseException) -> str:
    """Return what a reader is told of an error; what is no refusal of an input is logged whole."""
    if isinstance(error, DesignError):
        return str(error)
    if isinstance(error, MessageError):
        _log.warning("%s", error)
        return f"The page asked for something unknown. {error}"
    _log.error("internal error", exc_info=error)
    return INTERNAL


def as_refusal(error: Exception) -> DesignError:
    """Return an error as one that may be said; what is no DesignError is logged first."""
    return error if isinstance(error, DesignError) else DesignError("", plain_words(error))


def failures_go_to(tell: Callable[[str], None]) -> None:
    """Let a bound method be told, in words, of every failure in the session at hand.

    The method's object is held weakly, for Panel keeps a session's handlers beside its document.
    """
    if pn.state.curdoc is None:  # without a session an error is its caller's
        return
    kept: Any = weakref.WeakMethod(tell)

    def handle(error: BaseException) -> None:
        words = plain_words(error)
        if (alive := kept()) is not None:
            alive(words)

    pn.config.exception_handler = handle


def guarded(work: Callable[[], None]) -> None:
    """Do something; where it fails, its session is told. Without a session the error goes on."""
    try:
        work()
    except Exception as error:
        if pn.config.exception_handler is None:
            raise
        pn.config.exception_handler(error)
