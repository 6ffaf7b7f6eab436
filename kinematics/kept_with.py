"""What a function makes of an object, kept as long as that object is, and no longer."""

from collections.abc import Callable
from functools import wraps
from typing import Any, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

_Asked = ParamSpec("_Asked")
_Made = TypeVar("_Made")


def kept_with_first(make: Callable[_Asked, _Made]) -> Callable[_Asked, _Made]:
    """Return a function that keeps its answers with its first argument.

    The first is given by place; the others can be hashed. An answer must not hold the first of
    them, which would then never go.
    """
    answers: WeakKeyDictionary[Any, dict[tuple[Any, ...], _Made]] = WeakKeyDictionary()

    @wraps(make)
    def asked(*arguments: _Asked.args, **named: _Asked.kwargs) -> _Made:
        first, *more = arguments
        own = answers.setdefault(first, {})
        key = (*more, *sorted(named.items()))
        if key not in own:
            own[key] = make(*arguments, **named)
        return own[key]

    return asked
