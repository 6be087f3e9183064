"""The season timeline: when each layer flowers, and the day that is looked at."""
