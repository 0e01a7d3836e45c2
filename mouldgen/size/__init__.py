"""Closed forms: bore, wall, heights, volumes and footprint as functions of the gap."""

from mouldgen.size.cup import Size, SizeQuestion, cup_question, size_of

__all__ = ["Size", "SizeQuestion", "cup_question", "size_of"]
