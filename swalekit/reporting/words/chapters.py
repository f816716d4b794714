"""Chapters of a printed text."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Chapter:
    """A heading and its sentences."""

    head: str
    sentences: tuple[str, ...]
