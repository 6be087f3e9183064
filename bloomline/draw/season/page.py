"""Where the parts of the season chart stand on the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from math import ceil

from bloomline.draw.base.names import wrapped
from bloomline.draw.season.days import DayScale, Plant, part_id, shown_days
from bloomline.draw.season.rows import words_room
from bloomline.errors import UnknownNameError, UsageError
from bloomline.plan.forecast.report import (
    CompanionForecast,
    LayerForecast,
    PotForecast,
    SeasonReport,
)
from bloomline.words import tr

Measure = Callable[[str, int], float]

PAD = 28.0
HEADER_HEIGHT = 66.0
FIGURES_LINE = 54.0  # height of the yard's figures where they get a line of their own
TODAY_LINE = 16.0
AXIS_HEIGHT = 40.0
BRACKET_LINE = 19.0
STRIP_HEIGHT = 96.0
LANE_LINE = 20.0
FOOTER_HEIGHT = 42.0
LEGEND_LINE = 22.0
INDENT = 14.0
POT_GAP = 0.16  # share of a pot's heading that is left free above it
POT_ROWS = 1.32  # height of a pot's heading, in rows
LEAST_ROW, BEST_ROW = 13.0, 25.0
MOST_STRETCH = 1.5
SECOND_LINE = 0.7  # height that a second line of text adds to a row, in rows
LEGEND_GAP = 14.0
COLUMN_GAP = 12.0
LEAST_WIDTH = 560.0


@dataclass(frozen=True, slots=True)
class Row:
    """The row of a layer or of companions; `reason` says why it has no bar, if it has none."""

    plant: Plant
    top: float
    height: float
    reason: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """One pot: the top of its heading, the rows of its layers, then of what stands on top."""

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
        return int(min(max(self.row * 0.58, 10), 14))

    @property
    def small_px(self) -> int:
        """Letters of what is said beside the names."""
        return max(self.text_px - 2, 10)


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
    wish_top: float
    rows_top: float
    rows_bottom: float
    blocks: tuple[Block, ...]
    sizes: Sizes
    legend_top: float
    footer_top: float
    has_lower_axis: bool
    has_figures_line: bool

    @property
    def label_right(self) -> float:
        """Right edge of the column with the names."""
        return self.scale.left - COLUMN_GAP


def first_flower(layer: LayerForecast) -> date:
    """Middle date of the first flower; the end of time if there is none."""
    return layer.start.p50 if layer.start is not None else date.max


def ordered_pots(
    report: SeasonReport, pot_ids: tuple[str, ...] | None, *, by_first_flower: bool = False
) -> tuple[PotForecast, ...]:
    """The pots to show, in the yard's order, or those that flower first on top.

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
            raise UsageError(tr("no pot is chosen for the chart; choose at least one"))
    if not by_first_flower:
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
    wish_lines: int = 0,
    show_planted: bool = False,
    has_figures_line: bool = False,
    has_today: bool = False,
) -> Page:
    """Place everything; without a height the page is as tall as its content needs.

    Raises UsageError if the page is too small for what it must show.
    """
    if width < LEAST_WIDTH:
        raise UsageError(
            tr(
                "a season chart needs a width of at least {least_width:.0f} px, not {width:g}",
                least_width=LEAST_WIDTH,
                width=width,
            )
        )
    row_count = sum(len(pot.layers) + len(pot.companions) for pot in pots)
    axis_top = (
        PAD
        + HEADER_HEIGHT
        + (FIGURES_LINE if has_figures_line else 0.0)
        + (TODAY_LINE if has_today else 0.0)
    )
    strip_top = axis_top + AXIS_HEIGHT + BRACKET_LINE * bracket_lines
    strip_height = STRIP_HEIGHT
    between = LANE_LINE * (max(1, lane_lines) + wish_lines) + 6.0
    below = LEGEND_GAP + LEGEND_LINE * legend_lines + FOOTER_HEIGHT + PAD * 0.6

    row = row_height_for(row_count, len(pots))
    column = _column_width(pots, Sizes(row).text_px, measure=measure, most=width * 0.36)
    left = PAD + column + COLUMN_GAP
    layers = [layer for pot in pots for layer in pot.layers]
    companions = [each for pot in pots for each in pot.companions]
    first, last = shown_days(report, layers, companions=companions, show_planted=show_planted)
    scale = DayScale.of(first, last, left, width - PAD - left)
    plants: list[Plant] = [*layers, *companions]
    lines = {
        part_id(plant): _reason_lines(
            plant, scale, Sizes(row), measure, planted=planted_on(plant) if show_planted else None
        )
        for plant in plants
    }
    extra = sum(len(some) - 1 for some in lines.values() if some) * SECOND_LINE
    units = max(row_count + extra + POT_ROWS * len(pots), 1.0)

    has_lower_axis = row * units > 620
    if height is not None:
        room = height - strip_top - strip_height - between - below
        has_lower_axis = room > 620 and (room - AXIS_HEIGHT) / units >= LEAST_ROW
        room -= AXIS_HEIGHT if has_lower_axis else 0.0
        if room / units < LEAST_ROW:
            least = height + LEAST_ROW * units - room
            raise UsageError(
                tr(
                    "{row_count} rows in {count} pots need a height of at least "
                    "{ceil} px, not {height:g}; leave the height out to fit the "
                    "content",
                    row_count=row_count,
                    count=len(pots),
                    ceil=ceil(least),
                    height=height,
                )
            )
        # Letters keep the size that the width was shared out for, unless rows are lower.
        row = min(room / units, row * MOST_STRETCH)
        strip_height += min(room - row * units, 160.0)
    sizes = Sizes(row)

    lane_top = strip_top + strip_height
    rows_top = y = lane_top + between
    blocks = []
    for pot in pots:
        top = y
        y += sizes.pot
        rows = []
        stack: list[Plant] = [*sorted(pot.layers, key=first_flower), *pot.companions]
        for plant in stack:
            reason = lines[part_id(plant)]
            row_height = sizes.row * (1 + SECOND_LINE * max(len(reason) - 1, 0))
            rows.append(Row(plant, y, row_height, reason))
            y += row_height
        blocks.append(Block(pot, top, tuple(rows)))
    legend_top = y + LEGEND_GAP + (AXIS_HEIGHT if has_lower_axis else 0.0)
    full = float(ceil(y + below + (AXIS_HEIGHT if has_lower_axis else 0.0)))
    page_height = full if height is None else height
    return Page(
        width=width,
        height=page_height,
        scale=scale,
        axis_top=axis_top,
        bracket_lines=bracket_lines,
        strip_top=strip_top,
        strip_height=strip_height,
        lane_top=lane_top,
        lane_lines=lane_lines,
        wish_top=lane_top + between - LANE_LINE * wish_lines,
        rows_top=rows_top,
        rows_bottom=y,
        blocks=tuple(blocks),
        sizes=sizes,
        legend_top=legend_top,
        footer_top=page_height - PAD * 0.6 - FOOTER_HEIGHT,
        has_lower_axis=has_lower_axis,
        has_figures_line=has_figures_line,
    )


def _column_width(
    pots: tuple[PotForecast, ...], px: int, *, measure: Measure, most: float
) -> float:
    """Width of the column of names: as the longest needs, within limits."""
    plants: list[Plant] = [plant for pot in pots for plant in pot.layers]
    plants += [plant for pot in pots for plant in pot.companions]
    names = max((measure(plant.name, px) for plant in plants), default=0.0)
    counts = max((measure(f"× {plant.count}", px) for plant in plants), default=0.0)
    return min(max(names + counts + INDENT + 46.0, 170.0), most)


def planted_on(plant: Plant) -> date | None:
    """The day that a planting sign stands at; None if it was in an earlier season."""
    return None if isinstance(plant, LayerForecast) and plant.established else plant.planted


def _reason_lines(
    plant: Plant, scale: DayScale, sizes: Sizes, measure: Measure, *, planted: date | None
) -> tuple[str, ...]:
    """The words of a row without a bar, in as many lines as it needs."""
    if isinstance(plant, CompanionForecast):
        return () if plant.first is not None else (tr("on top; not in season in these days"),)
    if plant.start is not None:
        return ()
    words = plant.reason or tr("no flower this season")
    left, right = words_room(scale, planted, bar_height=sizes.bar)
    return wrapped(words, room=right - left, measure=lambda text: measure(text, sizes.small_px))
