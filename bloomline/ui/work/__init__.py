"""The page with the work of the year: tasks by week, ticks, a calendar file."""
