"""Every operation a case can name, gathered from the topics."""

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from loamwright.verify import topics
from loamwright.verify.operation import Operation


@cache
def operations() -> Mapping[str, Operation]:
    """Every operation by its key, by topic.

    Examples
    --------
    >>> operations()["bending_strength"].topic
    'block-tests'
    """
    found: dict[str, Operation] = {}
    for module in sorted(each.name for each in iter_modules(topics.__path__)):
        for operation in import_module(f"{topics.__name__}.{module}").OPERATIONS:
            if operation.key in found:
                raise ValueError(f"two operations are called {operation.key}")
            found[operation.key] = operation
    return found
