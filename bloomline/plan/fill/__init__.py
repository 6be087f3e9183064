"""What shall be planted: answers to a gap, to a pot, to a yard, and to wishes for a season."""
