"""The strip of conditions: where, when planted, in which weather."""
