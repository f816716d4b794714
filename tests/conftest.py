"""What all tests share."""

import os

import pytest
from hypothesis import settings

settings.register_profile("same cases", derandomize=True)
settings.load_profile("same cases")
"""Every run tries the same cases, so that a change is judged by what it changes."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip tests that need the compiler when it is switched off."""
    if os.environ.get("NUMBA_DISABLE_JIT", "0") == "0":
        return
    for item in items:
        if item.get_closest_marker("compiled"):
            item.add_marker(pytest.mark.skip(reason="needs the compiler"))
