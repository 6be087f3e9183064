"""The details: everything about the selected layer or pot, or the yard, to read and change."""

from __future__ import annotations

from bloomline.ui.details.panel import DetailsPanel

__all__ = ["DetailsPanel"]
