"""Which part of the yard is seen, and how large: scale, scrolling, fitting. No widgets."""

from __future__ import annotations

from dataclasses import dataclass

LEAST_SCALE, MOST_SCALE = 0.35, 24.0
ZOOM_STEP = 1.25
LABEL_LINES, TAG_LINES = 2.35, 1.0
_HEADROOM_PX = 5.0


@dataclass(slots=True)
class Camera:
    """Scale in pixels to a centimetre, and how far the row is scrolled. [px]

    `lift` is how far the ground line is moved down to see the tops of tall plants, `label_lines`
    how many lines of words stand under it, `head` the height of headings over the plants.
    """

    scale: float = 2.0
    scroll: float = 0.0
    lift: float = 0.0
    follows_size: bool = True
    label_lines: float = LABEL_LINES + TAG_LINES
    head: float = 0.0

    def fit_height(self, *, height: float, em: float, tallest_cm: float) -> None:
        """Choose the scale at which the tallest plant and the names are seen."""
        room = height - self.head - self.label_lines * em - _HEADROOM_PX
        self.scale = clamped(max(room, 40.0) / tallest_cm)
        self.lift = 0.0

    def clamp(
        self, *, width: float, height: float, row_width: float, em: float, tall: float
    ) -> None:
        """Keep the scrolling within what there is."""
        self.scroll = min(max(self.scroll, 0.0), self.most_scroll(width, row_width))
        self.lift = min(max(self.lift, 0.0), self.most_lift(height, em, tall))

    def most_scroll(self, width: float, row_width: float) -> float:
        """How far the row can be scrolled."""
        return max(row_width - width, 0.0)

    def most_lift(self, height: float, em: float, tall_cm: float) -> float:
        """How far the ground can be moved down."""
        tall = tall_cm * self.scale + self.head + self.label_lines * em + _HEADROOM_PX
        return max(tall - height, 0.0)

    def origin_x(self, width: float, row_width: float) -> float:
        """Where the row begins on the widget; a short row stands in the middle."""
        return max(0.5 * (width - row_width), 0.0) - self.scroll

    def ground_y(self, height: float, em: float) -> float:
        """Where the ground line lies on the widget."""
        return height - self.label_lines * em + self.lift


def clamped(scale: float) -> float:
    """The scale within what can be drawn."""
    return min(max(scale, LEAST_SCALE), MOST_SCALE)
