"""Compiled loops on plain arrays: no checks, no reshaping, no units converted, no files.

Each kernel has a public partner in the room that uses it; that partner checks, shapes, calls and names the result.
Run with ``NUMBA_DISABLE_JIT=1`` every kernel is an ordinary Python function.
"""
