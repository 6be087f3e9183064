"""Pictures on paper and PNG: the season chart and printed sheets, painted with Qt."""
