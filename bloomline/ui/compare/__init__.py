"""The page of what-ifs: two scenarios of the yard side by side."""
