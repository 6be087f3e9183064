from __future__ import annotations

import itertools

import pytest

from bloomline.draw.base.marks import MARK_STROKES, ROUND_MARKS
from bloomline.draw.base.petals import (
    DARK,
    LIGHT,
    MARK_OF_FAMILY,
    SAMPLE_OF_FAMILY,
    SHAPE_CONTRAST,
    TEXT_CONTRAST,
    Family,
    Mark,
    Theme,
    contrast,
    family_of,
    luminance,
    mix,
    petal,
    standing_out,
    theme_named,
)
from bloomline.errors import UsageError

THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
PETALS = ("#FAFBF6", "#F8CC1C", "#EE8232", "#D9A7CF", "#C81E2C", "#3C1A2E", "#2A3C9C", "#8DA465")


def test_contrast_as_published() -> None:
    # WCAG 2.2: black on white is 21:1; #767676 on white is the well-known lightest grey that
    # passes 4.5:1 (4.54), #777777 the first that fails (4.48; both from memory).
    assert luminance("#FFFFFF") == pytest.approx(1.0)
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.005)


@THEMES
def test_every_text_can_be_read(theme: Theme) -> None:
    # WCAG 2.2, success criterion 1.4.3 (level AA).
    for text, ground in theme.text_pairs:
        assert contrast(text, ground) >= TEXT_CONTRAST, (text, ground)


@THEMES
def test_text_on_bare_wash_can_be_read(theme: Theme) -> None:
    wash = mix(theme.ground, theme.bare, 0.10)
    assert contrast(theme.bare_text, wash) >= TEXT_CONTRAST
    assert contrast(theme.muted, wash) >= TEXT_CONTRAST


@THEMES
@pytest.mark.parametrize("colour", PETALS)
def test_outline_and_mark_stand_out(theme: Theme, colour: str) -> None:
    # WCAG 2.2, success criterion 1.4.11: 3:1 for shapes that carry meaning.
    look = petal(colour, theme=theme)
    assert contrast(look.outline, theme.ground) >= SHAPE_CONTRAST
    assert contrast(look.outline, theme.panel) >= SHAPE_CONTRAST
    assert contrast(look.mark_ink, look.fill) >= SHAPE_CONTRAST
    assert look.fill == colour


def test_second_colour_is_used_only_where_it_shows() -> None:
    red_on_white = petal("#F7ECE6", theme=LIGHT, second_hex="#C4242E")
    assert red_on_white.mark_ink == "#C4242E"
    cream_on_white = petal("#FBF9EE", theme=LIGHT, second_hex="#F8F0CE")
    assert cream_on_white.mark_ink != "#F8F0CE"


def test_white_fades_into_something_that_shows() -> None:
    white = petal("#FAFBF6", theme=LIGHT)
    assert contrast(white.fade, LIGHT.ground) > contrast(white.fill, LIGHT.ground)
    yellow = petal("#EE8232", theme=LIGHT)
    assert yellow.fade == yellow.fill


def test_each_family_has_a_mark_of_its_own() -> None:
    assert set(MARK_OF_FAMILY) == set(Family)
    assert len(set(MARK_OF_FAMILY.values())) == len(Family)
    assert set(MARK_STROKES) | set(ROUND_MARKS) == set(Mark)
    shapes = [MARK_STROKES[mark] for mark in MARK_STROKES]
    assert all(one != other for one, other in itertools.combinations(shapes, 2))


@pytest.mark.parametrize(
    ("colour", "family"),
    [
        # Words and colours as they stand together in the catalogue.
        ("#FAFBF6", Family.WHITE),
        ("#F8F0CE", Family.WHITE),
        ("#F8CC1C", Family.YELLOW),
        ("#F3EBA6", Family.YELLOW),
        ("#F3A985", Family.ORANGE),
        ("#EE8232", Family.ORANGE),
        ("#EE8FAE", Family.PINK),
        ("#DB5A86", Family.PINK),
        ("#C81E2C", Family.RED),
        ("#86152D", Family.RED),
        ("#6F2C7A", Family.PURPLE),
        ("#8A4A9C", Family.PURPLE),
        ("#7FA3DE", Family.BLUE),
        ("#4A57B8", Family.BLUE),
        ("#3C1A2E", Family.DARK),
        ("#C9D45A", Family.GREEN),
    ],
)
def test_families_are_called_as_a_gardener_would(colour: str, family: Family) -> None:
    assert family_of(colour) is family


@pytest.mark.parametrize("family", list(Family))
def test_legend_samples_belong_to_their_family(family: Family) -> None:
    assert family_of(SAMPLE_OF_FAMILY[family]) is family


def test_standing_out_changes_no_more_than_needed() -> None:
    assert standing_out("#000000", against=("#FFFFFF",)) == "#000000"
    shade = standing_out("#F8CC1C", against=("#F8CC1C",))
    assert SHAPE_CONTRAST <= contrast(shade, "#F8CC1C") < SHAPE_CONTRAST + 1.2


@pytest.mark.parametrize("colour", ["", "red", "#12345", "#GGGGGG"])
def test_no_colour_is_refused(colour: str) -> None:
    with pytest.raises(UsageError, match="#RRGGBB"):
        petal(colour, theme=LIGHT)


def test_unknown_theme_is_refused() -> None:
    with pytest.raises(UsageError, match="light or dark"):
        theme_named("sepia")
