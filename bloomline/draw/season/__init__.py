"""Paints a season from one day scale, on screen and on paper: bars, strip, rows, axis."""
