"""Reads and validates the reference data in shared/: places, weather, catalogue, rules."""
