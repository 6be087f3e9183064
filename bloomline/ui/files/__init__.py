"""Yard files in the window: new, open, save, what was left unsaved, what changed on disk."""
