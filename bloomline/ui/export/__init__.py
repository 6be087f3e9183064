"""The season chart as a picture, on the clipboard or on paper."""
