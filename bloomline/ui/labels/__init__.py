"""Labels to print, what is in which pot, and the finder of lost names."""
