"""Fibres: how strands are packed, lit, routed, cut, marked and shared among their sources."""
