"""Work beside the page: steps are told in turn; what is dropped is neither told nor continued."""

import threading
from threading import Event

import panel as pn
import pytest
from tornado.ioloop import IOLoop

from apps.background_task import BackgroundTask
from apps.failures import INTERNAL
from kinematics import DesignError
from kinematics.units import shown_system, using_units


class Turns:
    """The server's loop and a document of it, which keeps what is to be done in its turn."""

    session_context = object()

    def __init__(self):
        self.kept = []
        self.came = Event()
        self.called_from, self.taking = set(), False

    def add_callback(self, callback, *arguments):
        self.kept.append(lambda: callback(*arguments))
        self.came.set()

    def add_next_tick_callback(self, tell):
        self.called_from.add(threading.current_thread())
        self.kept.append(tell)
        if not self.taking:
            self.came.set()

    def take(self):
        """Wait for something to do, and do it."""
        assert self.came.wait(10)
        self.came.clear()
        self.taking = True
        while self.kept:
            self.kept.pop(0)()
        self.taking = False


@pytest.fixture
def turns(monkeypatch):
    made = Turns()
    monkeypatch.setattr(type(pn.state), "curdoc", made)
    monkeypatch.setattr(IOLoop, "current", lambda *_: made)
    return made


class Steps:
    """Steps that are taken one at a time, each when it is let; `begun` counts them."""

    def __init__(self, end=None):
        self.begun, self.end = 0, end
        self.let, self.ended = Event(), Event()

    def __iter__(self):
        try:
            for _ in range(3):
                self.let.wait(10)
                self.let.clear()
                self.begun += 1
                yield self.begun
            if self.end:
                raise self.end
        finally:
            self.ended.set()


def test_steps_come_in_order_and_an_error_last(turns):
    told, refused = [], []
    steps = Steps(DesignError("oil", "found none"))
    BackgroundTask().start(steps, told.append, refused.append)
    for count in (1, 2):
        steps.let.set()
        turns.take()
        assert told == list(range(1, count + 1))
        assert refused == []
    steps.let.set()
    assert steps.ended.wait(10)
    while not refused:
        turns.take()
    assert told == [1, 2, 3]
    assert refused == [steps.end]


def test_after_stop_nothing_is_told_or_begun(turns):
    told = []
    steps, work = Steps(), BackgroundTask()
    work.start(steps, told.append, told.append)
    steps.let.set()
    assert turns.came.wait(10)  # the first step waits to be told
    work.stop()
    turns.take()
    steps.let.set()  # the second is under way
    assert steps.ended.wait(10)
    assert told == []
    assert steps.begun == 2
    assert turns.kept == []


def test_another_start_drops_the_first(turns):
    told = []
    first, second, work = Steps(), Steps(), BackgroundTask()
    work.start(first, lambda step: told.append(("first", step)), told.append)
    work.start(second, lambda step: told.append(("second", step)), told.append)
    first.let.set()
    assert first.ended.wait(10)
    second.let.set()
    turns.take()
    assert told == [("second", 1)]


def test_the_units_of_the_start_hold_in_every_step(turns):
    told = []

    def steps():
        yield shown_system()

    with using_units("us"):
        BackgroundTask().start(
            steps(), lambda made: told.append((made, shown_system())), told.append
        )
    turns.take()
    assert told == [("us", "us")]
    assert shown_system() == "si"


def test_what_comes_after_waits_for_the_next_turn_and_the_last_asked_counts(turns):
    told, beside = [], BackgroundTask()
    with using_units("us"):
        for name in ("first", "second", "third"):
            beside.after(lambda name=name: told.append((name, shown_system())))
    assert told == []
    assert len(turns.kept) == 3
    turns.take()
    assert told == [("third", "us")]


def test_without_a_page_what_comes_after_is_done_at_once(monkeypatch):
    monkeypatch.setattr(type(pn.state), "curdoc", None)
    told, beside = [], BackgroundTask()
    beside.after(lambda: told.append("done"))
    assert told == ["done"]


def failing(error):
    """Steps of which the first cannot be made."""
    raise error
    yield


def test_the_thread_leaves_the_document_alone(turns):
    told = []
    BackgroundTask().start(iter([1]), told.append, told.append)
    turns.take()
    assert told == [1]
    assert turns.called_from == {threading.current_thread()}


def test_any_error_of_the_work_is_logged_and_said_in_plain_words(turns, caplog):
    refused = []
    BackgroundTask().start(failing(ZeroDivisionError("in a step")), refused.append, refused.append)
    turns.take()
    assert [str(one) for one in refused] == [INTERNAL]
    assert "ZeroDivisionError: in a step" in caplog.text
    assert "Traceback" in caplog.text


def test_an_error_while_a_step_is_shown_is_said_once_and_drops_the_rest(turns, caplog):
    refused = []
    steps = Steps()

    def show(step):
        raise KeyError(step)

    BackgroundTask().start(steps, show, refused.append)
    steps.let.set()
    turns.take()
    steps.let.set()
    assert steps.ended.wait(10)
    assert [str(one) for one in refused] == [INTERNAL]
    assert "KeyError: 1" in caplog.text
    assert turns.kept == []


def test_an_error_after_a_turn_goes_to_the_session(turns, caplog, monkeypatch):
    told = []
    monkeypatch.setattr(pn.config, "exception_handler", lambda error: told.append(repr(error)))
    BackgroundTask().after(lambda: [][0])
    turns.take()
    assert told == ["IndexError('list index out of range')"]
