"""Criteria over speed: the ladder of limits, sensitivities, what raises a limit."""
