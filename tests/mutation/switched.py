"""Mutants without a detour: a function runs as written, and is given a mutant's code where one is put in its place.

By itself mutmut asks at every call of every function which mutant is meant; a recheck takes several times as long by
it. Processes that a test starts still ask.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from mutmut.mutation import trampoline

Function = Callable[..., Any]

_written: list[tuple[Function, dict[str, Any]]] = []
"""Each function that has mutants, with them; mutmut fills them in when the function stands."""
_instead: dict[Function, Function] = {}


def allow(reached: Callable[[str], None] | None = None) -> None:
    """Let mutated modules that are imported from here on switch this way, and say of each call which function it is."""

    def declared(mutants: dict[str, Any], is_classmethod: bool = False) -> Callable[[Function], Function]:
        def called(function: Function) -> Function:
            _written.append((function, mutants))
            if reached is None and not function.__closure__:
                return function

            @wraps(function)
            def switch(*args: Any, **named: Any) -> Any:
                if reached is not None:
                    reached(f"{function.__module__}.{mutants['_mutmut_orig'].__name__}")
                return _instead.get(function, function)(*args, **named)

            return switch

        return called

    trampoline.wrap_in_trampoline = declared


def put(mutant: str) -> None:
    """Give a function the code of one of its mutants, for the rest of this process and of those that it starts."""
    trampoline.set_mutant_under_test(mutant)
    module, _, name = mutant.rpartition(".")
    function, changed = next(
        (function, mutants[name])
        for function, mutants in _written
        if function.__module__ == module and name in mutants
    )
    changed = getattr(changed, "__func__", changed)  # of a class method
    if function.__closure__:  # cells of one code do not fit another
        _instead[function] = changed
    else:
        function.__code__ = changed.__code__
        function.__defaults__, function.__kwdefaults__ = changed.__defaults__, changed.__kwdefaults__
