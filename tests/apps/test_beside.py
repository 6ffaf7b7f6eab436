"""Work beside the page: steps are told in turn; what is dropped is neither told nor continued."""

from threading import Event

import panel as pn
import pytest

from apps.beside import Beside
from kinematics import DesignError
from kinematics.units import shown_in, shown_system


class Turns:
    """A document that keeps what is to be done in its turn."""

    session_context = object()

    def __init__(self):
        self.kept = []
        self.came = Event()

    def add_next_tick_callback(self, tell):
        self.kept.append(tell)
        self.came.set()

    def take(self):
        """Wait for something to do, and do it."""
        assert self.came.wait(10)
        self.came.clear()
        while self.kept:
            self.kept.pop(0)()


@pytest.fixture
def turns(monkeypatch):
    made = Turns()
    monkeypatch.setattr(type(pn.state), "curdoc", made)
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
    Beside().start(steps, told.append, refused.append)
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
    steps, work = Steps(), Beside()
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
    first, second, work = Steps(), Steps(), Beside()
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

    with shown_in("us"):
        Beside().start(steps(), lambda made: told.append((made, shown_system())), told.append)
    turns.take()
    assert told == [("us", "us")]
    assert shown_system() == "si"


def test_what_comes_after_waits_for_the_next_turn_and_the_last_asked_counts(turns):
    told, beside = [], Beside()
    with shown_in("us"):
        for name in ("first", "second", "third"):
            beside.after(lambda name=name: told.append((name, shown_system())))
    assert told == []
    assert len(turns.kept) == 3
    turns.take()
    assert told == [("third", "us")]


def test_without_a_page_what_comes_after_is_done_at_once(monkeypatch):
    monkeypatch.setattr(type(pn.state), "curdoc", None)
    told, beside = [], Beside()
    beside.after(lambda: told.append("done"))
    assert told == ["done"]
