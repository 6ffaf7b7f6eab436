"""Answers kept with an object: made once, apart by what else is asked, gone with the object."""

import gc
import weakref

import numpy as np

from kinematics.film.running_bearings import symmetric_copies
from kinematics.kept_with import kept_with_first
from kinematics.limits.limit_sensitivities import limit_sensitivities
from kinematics.train.cycle import RigidTrain
from tests.demos import DEMOS, demo_ladder


class Owner:
    """An object to keep answers with."""


def test_an_answer_is_made_once_for_each_question():
    asked: list[tuple[Owner, int]] = []

    @kept_with_first
    def made(owner: Owner, number: int) -> np.ndarray:
        asked.append((owner, number))
        return np.full(3, number)

    one, other = Owner(), Owner()
    first = made(one, 1)
    assert made(one, 1) is first
    assert made(one, 2)[0] == 2
    assert made(other, 1) is not first
    assert asked == [(one, 1), (one, 2), (other, 1)]


def test_an_answer_goes_with_its_object():
    @kept_with_first
    def made(_owner: Owner) -> np.ndarray:
        return np.zeros(3)

    owner = Owner()
    gone = weakref.ref(made(owner))
    del owner
    gc.collect()
    assert gone() is None


def test_a_train_that_was_looked_at_is_not_kept():
    train = RigidTrain(DEMOS["inline_four"])
    symmetric_copies(train, "main")
    gone = weakref.ref(train)
    del train
    gc.collect()
    assert gone() is None


def test_sensitivities_keep_no_train_of_a_changed_design():
    ladder = demo_ladder("inline_four")
    gc.collect()
    before = {id(found) for found in gc.get_objects() if isinstance(found, RigidTrain)}
    limit_sensitivities(ladder, [ladder["main_film"], ladder["shaft_stress"]])
    gc.collect()
    after = [found for found in gc.get_objects() if isinstance(found, RigidTrain)]
    assert {id(found) for found in after} <= before
