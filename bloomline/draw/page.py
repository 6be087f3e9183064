"""Where the parts of the season chart stand on the page. Knows no Qt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from bloomline.draw.layout import DayScale, shown_days
from bloomline.errors import UnknownNameError, UsageError
from bloomline.plan.report import LayerForecast, PotForecast, SeasonReport

Measure = Callable[[str, int], float]

PAD = 28.0
HEADER_HEIGHT = 66.0
AXIS_HEIGHT = 40.0
BRACKET_LINE = 19.0
STRIP_HEIGHT = 96.0
LANE_LINE = 20.0
FOOTER_HEIGHT = 34.0
LEGEND_LINE = 22.0
INDENT = 14.0
POT_ROWS = 1.32  # height of a pot's heading, in rows
LEAST_ROW, BEST_ROW, TALLEST_ROW = 13.0, 25.0, 38.0
LEAST_WIDTH = 480.0


@dataclass(frozen=True, slots=True)
class Row:
    """One layer's row: its top, and the name as far as it fits."""

    layer: LayerForecast
    top: float


@dataclass(frozen=True, slots=True)
class Block:
    """One pot: the top of its heading, and its rows."""

    pot: PotForecast
    top: float
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes that follow from the height of a row."""

    row: float

    @property
    def pot(self) -> float:
        """Height of a pot's heading with the gap above it."""
        return self.row * POT_ROWS

    @property
    def bar(self) -> float:
        """Height of a bar."""
        return round(min(self.row * 0.60, 19.0))

    @property
    def text_px(self) -> int:
        """Letters of a row."""
        return int(min(max(self.row * 0.58, 10), 16))


@dataclass(frozen=True, slots=True)
class Page:
    """The whole page. Lengths in px of 1/96 inch from the top left corner."""

    width: float
    height: float
    scale: DayScale
    axis_top: float
    bracket_lines: int
    strip_top: float
    strip_height: float
    lane_top: float
    lane_lines: int
    rows_top: float
    rows_bottom: float
    blocks: tuple[Block, ...]
    sizes: Sizes
    legend_top: float
    footer_top: float
    has_lower_axis: bool

    @property
    def label_right(self) -> float:
        """Right edge of the column with the names."""
        return self.scale.left - 12.0

    @property
    def layers(self) -> tuple[LayerForecast, ...]:
        """The layers in the order of the rows."""
        return tuple(row.layer for block in self.blocks for row in block.rows)


def first_flower(layer: LayerForecast) -> date:
    """Middle date of the first flower; the end of time if there is none."""
    return layer.start.p50 if layer.start is not None else date.max


def ordered_pots(
    report: SeasonReport, pot_ids: tuple[str, ...] | None, *, in_yard_order: bool = False
) -> tuple[PotForecast, ...]:
    """The pots to show, those that flower first on top unless the yard's order is wanted.

    Raises UnknownNameError for a pot id that the yard doesn't have, UsageError for none at all.
    """
    pots = report.pots
    if pot_ids is not None:
        known = {pot.pot_id: pot for pot in report.pots}
        for pot_id in pot_ids:
            if pot_id not in known:
                raise UnknownNameError("pot", pot_id, near=sorted(known)[:5])
        pots = tuple(pot for pot in report.pots if pot.pot_id in pot_ids)
        if not pots:
            raise UsageError("no pot is chosen for the chart; choose at least one")
    if in_yard_order:
        return pots
    return tuple(sorted(pots, key=lambda pot: min(map(first_flower, pot.layers), default=date.max)))


def row_height_for(row_count: int, pot_count: int) -> float:
    """Height of a row that suits the length of the list: roomy for few, denser for many."""
    units = row_count + POT_ROWS * pot_count
    if units <= 30:
        return BEST_ROW
    return max(17.0, BEST_ROW - (units - 30) * 0.075)


def arrange(
    report: SeasonReport,
    pots: tuple[PotForecast, ...],
    *,
    width: float,
    height: float | None,
    measure: Measure,
    bracket_lines: int,
    lane_lines: int,
    legend_lines: int,
    show_planted: bool = False,
) -> Page:
    """Place everything; without a height the page is as tall as its content needs.

    Raises UsageError if the page is too small for what it must show.
    """
    if width < LEAST_WIDTH:
        raise UsageError(
            f"a season chart needs a width of at least {LEAST_WIDTH:.0f} px, not {width:g}"
        )
    row_count = sum(len(pot.layers) for pot in pots)
    above = (
        PAD
        + HEADER_HEIGHT
        + AXIS_HEIGHT
        + BRACKET_LINE * bracket_lines
        + STRIP_HEIGHT
        + LANE_LINE * max(1, lane_lines)
        + 6.0
    )
    below = 14.0 + LEGEND_LINE * legend_lines + FOOTER_HEIGHT + PAD * 0.6
    units = max(row_count + POT_ROWS * len(pots), 1.0)
    strip_height = STRIP_HEIGHT
    row = row_height_for(row_count, len(pots))
    if height is not None:
        row = (height - above - below) / units
        if row < LEAST_ROW:
            least = above + below + LEAST_ROW * units
            raise UsageError(
                f"{row_count} layers in {len(pots)} pots need a height of at least "
                f"{least:.0f} px, not {height:g}; leave the height out to fit the content"
            )
        if row > TALLEST_ROW:
            row = TALLEST_ROW
            spare = height - above - below - row * units
            strip_height += min(spare, 160.0)
    has_lower_axis = row * units > 620
    if has_lower_axis and height is None:
        below += AXIS_HEIGHT
    elif has_lower_axis:
        row -= AXIS_HEIGHT / units
        if row < LEAST_ROW:
            row, has_lower_axis = row + AXIS_HEIGHT / units, False
        else:
            below += AXIS_HEIGHT
    sizes = Sizes(row)

    names = [measure(layer.name, sizes.text_px) for pot in pots for layer in pot.layers]
    counts = [measure(f"× {layer.count}", sizes.text_px) for pot in pots for layer in pot.layers]
    wanted = max(names, default=0.0) + max(counts, default=0.0) + INDENT + 52.0
    column = min(max(wanted, 170.0), width * 0.36)
    first, last = shown_days(
        report, [layer for pot in pots for layer in pot.layers], show_planted=show_planted
    )
    left = PAD + column + 12.0
    scale = DayScale(first, (last - first).days + 1, left, width - PAD - left)

    axis_top = PAD + HEADER_HEIGHT
    strip_top = axis_top + AXIS_HEIGHT + BRACKET_LINE * bracket_lines
    lane_top = strip_top + strip_height
    rows_top = lane_top + LANE_LINE * max(1, lane_lines) + 6.0
    blocks = []
    y = rows_top
    for pot in pots:
        top = y
        y += sizes.pot
        rows = []
        for layer in sorted(pot.layers, key=first_flower):
            rows.append(Row(layer, y))
            y += sizes.row
        blocks.append(Block(pot, top, tuple(rows)))
    needed = y + below
    return Page(
        width=width,
        height=needed if height is None else height,
        scale=scale,
        axis_top=axis_top,
        bracket_lines=bracket_lines,
        strip_top=strip_top,
        strip_height=strip_height,
        lane_top=lane_top,
        lane_lines=lane_lines,
        rows_top=rows_top,
        rows_bottom=y,
        blocks=tuple(blocks),
        sizes=sizes,
        legend_top=y + 14.0 + (AXIS_HEIGHT if has_lower_axis else 0.0),
        footer_top=(needed if height is None else height) - PAD * 0.6 - FOOTER_HEIGHT,
        has_lower_axis=has_lower_axis,
    )
