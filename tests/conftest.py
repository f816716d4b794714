"""What all tests share."""

import os

import pytest


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip tests that need the compiler when it is switched off."""
    if os.environ.get("NUMBA_DISABLE_JIT", "0") == "0":
        return
    for item in items:
        if item.get_closest_marker("compiled"):
            item.add_marker(pytest.mark.skip(reason="needs the compiler"))
