"""Processes that share work: the order of the items, what dies, what fails, what is given up."""

import multiprocessing
import os
import signal
import threading
from functools import partial
from operator import eq

import pytest

from swalekit.design.processes import ProcessPool
from swalekit.errors import InputError

DIE = "__import__('os')._exit(1)"
SLOW = "__import__('time').sleep(60)"
PROCESS = "__import__('os').getpid()"


def test_results_come_in_the_order_of_the_items():
    """However long each takes; more items than processes."""
    items = [f"__import__('time').sleep({0.02 * (number % 3)}) or {number}" for number in range(12)]
    with ProcessPool(eval, 2) as pool:
        assert list(pool.in_order(items)) == list(range(12))


def test_a_process_that_dies_takes_only_its_own_item_with_it():
    """Another one takes its place."""
    with ProcessPool(eval, 2) as pool:
        outcomes = dict(pool.outcomes(["1", DIE, "2", "3", DIE, "4"]))
    assert [outcomes[number] for number in (0, 2, 3, 5)] == [1, 2, 3, 4]
    for number in (1, 4):
        with pytest.raises(InputError, match=r"^a worker process ended before its work was done[^\n]*--workers"):
            raise outcomes[number]


def test_an_error_is_raised_where_the_work_was_asked_for():
    """With the place in the other process where it arose; the process works on."""
    with ProcessPool(eval, 1) as pool:
        with pytest.raises(ZeroDivisionError) as caught:
            list(pool.in_order(["1 / 0", "2"]))
        assert "in _serve" in caught.value.__notes__[0]
        assert list(pool.in_order(["3"])) == [3]


def test_work_given_up_leaves_nothing_behind():
    """What is asked for next gets its own results, and no process outlives the block."""
    others = set(multiprocessing.active_children())
    with ProcessPool(eval, 2) as pool:
        for result in pool.in_order(["1", SLOW, "2"]):
            assert result == 1
            break
        assert list(pool.in_order(["5", "6", "7"])) == [5, 6, 7]
        assert set(multiprocessing.active_children()) - others
    assert set(multiprocessing.active_children()) == others


def test_processes_are_used_again():
    """The second run of items finds those of the first, none of them this one."""
    with ProcessPool(eval, 1) as pool:
        (first,), (second,) = (list(pool.in_order([PROCESS])) for _ in range(2))
    assert first == second != os.getpid()


def test_an_interrupt_is_heard_while_processes_begin():
    """Even if their work is much to send and they are not ready to take it."""
    interrupt = threading.Timer(0.1, os.kill, (os.getpid(), signal.SIGINT))
    interrupt.start()
    with pytest.raises(KeyboardInterrupt), ProcessPool(partial(eq, bytes(10_000_000)), 2) as pool:
        list(pool.in_order([b""] * 4))
