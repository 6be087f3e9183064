"""Files at the edge: yard files, weather and request tables."""
