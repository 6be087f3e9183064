"""The page of the season's own weather: import it, and see what it changed."""
