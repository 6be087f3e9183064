"""The shelf: what can be planted here, and when it would flower."""

from __future__ import annotations

from bloomline.ui.shelf.panel import ShelfPanel

__all__ = ["ShelfPanel"]
