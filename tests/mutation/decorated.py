"""Mutants of decorated functions too: mutmut by itself leaves them out, and much of the arithmetic is decorated.

The decorators stay on the function that is called; the copies that mutmut switches between are plain.
"""

from collections.abc import Iterable
from typing import Any

import libcst as cst
from mutmut.mutation import file_mutation

PLAIN = {"staticmethod", "classmethod"}
WRAPPING = {"arithmetic", "property", "cache", "cached_property", "lru_cache", "contextmanager"}
"""Decorators of this project that take a function and keep its meaning."""

_skipped = file_mutation.MutationVisitor._skip_node_and_children
_arranged = file_mutation.function_trampoline_arrangement


def name_of(decorator: cst.Decorator) -> str:
    inside = decorator.decorator
    inside = inside.func if isinstance(inside, cst.Call) else inside
    return inside.value if isinstance(inside, cst.Name) else ""


def is_wrapped(function: cst.FunctionDef) -> bool:
    return len(function.decorators) == 1 and name_of(function.decorators[0]) in WRAPPING


def skipped(self: Any, node: cst.CSTNode) -> bool:
    if isinstance(node, cst.FunctionDef) and is_wrapped(node):
        return bool(_skipped(self, node.with_changes(decorators=[])))
    return bool(_skipped(self, node))


def arranged(function: cst.FunctionDef, mutants: Iterable[Any], class_name: str | None) -> tuple[Any, ...]:
    if not is_wrapped(function):
        return _arranged(function, mutants, class_name)
    declared, nodes, assigned, names = _arranged(function.with_changes(decorators=[]), mutants, class_name)
    switch = nodes[0].with_changes(decorators=[*function.decorators, *nodes[0].decorators])
    return declared, [switch, *nodes[1:]], assigned, names


def allow() -> None:
    """Let mutmut change decorated functions from here on in this process."""
    file_mutation.MutationVisitor._skip_node_and_children = skipped
    file_mutation.function_trampoline_arrangement = arranged
