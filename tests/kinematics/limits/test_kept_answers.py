"""Answers are made once for the same speeds; those not asked for longest go."""

import numpy as np

from kinematics.limits.kept_answers import KEPT, KeptAnswers


def test_an_answer_is_made_once_for_its_name_and_speeds() -> None:
    kept, asked = KeptAnswers(), []

    def made(speed):
        asked.append(speed.tolist())
        return 2 * speed

    for _ in range(2):
        for speed in ([1.0, 2.0], [1.0]):
            assert kept.of("double", np.array(speed), made).tolist() == [2 * one for one in speed]
    assert asked == [[1.0, 2.0], [1.0]]
    kept.of("again", np.array([1.0]), made)
    assert len(asked) == 3


def test_what_was_not_asked_for_longest_goes_first() -> None:
    kept, asked = KeptAnswers(), []

    def ask(speed):
        kept.of("it", np.array([float(speed)]), lambda at: asked.append(float(at[0])))

    for speed in range(KEPT):
        ask(speed)
    ask(0)  # kept, and now the last asked for
    ask(KEPT)  # in place of 1
    assert asked == [float(speed) for speed in range(KEPT + 1)]
    ask(0)
    ask(1)
    assert asked[KEPT + 1 :] == [1.0]
