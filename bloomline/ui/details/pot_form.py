"""The form of a pot, for one pot and for several at once."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from bloomline.model.yard import LONG_SHAPES, MAX_COPIES, SHELTERED_SITES, Pot, Yard
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites
from bloomline.ui.details.fields import ChoiceField
from bloomline.ui.details.form import Form
from bloomline.words import tr

SHELTERED = "is_sheltered_until"
CAME_IN = "is_sheltered_from"
_DAY_OF = {SHELTERED: "sheltered_until", CAME_IN: "sheltered_from"}


def fill_pot_form(form: Form) -> dict[str, str]:
    """Put all fields but the name into a form; what each is called in the undo menu."""
    form.count(
        "copies",
        tr("Copies"),
        low=1,
        high=MAX_COPIES,
        about=tr(
            "How many equal pots it stands for, as on a bench; what is said of it and of its "
            "layers is of one of them"
        ),
    )
    form.choice(
        "shape",
        tr("Shape"),
        (
            (tr("round"), "round"),
            (tr("square"), "square"),
            (tr("oval"), "oval"),
            (tr("trough"), "trough"),
        ),
        about=tr("The outline of the pot seen from above"),
    )
    form.length("top_width_cm", tr("Width at top"), about=tr("Inside, at the rim"))
    form.length("bottom_width_cm", tr("Width at bottom"), about=tr("Inside"))
    form.length("top_length_cm", tr("Length at top"), about=tr("Inside, at the rim"))
    form.length("bottom_length_cm", tr("Length at bottom"), about=tr("Inside"))
    form.length("inside_height_cm", tr("Height"), about=tr("Inside, to the rim"))
    form.length("wall_cm", tr("Wall"), about=tr("Thickness of the wall"))
    materials = load_rules().materials.values()
    form.choice(
        "material",
        tr("Material"),
        tuple((tr(each.label), each.id) for each in materials),
        about=tr("Decides on weight, and on what frost and sun do to the pot"),
    )
    form.choice(
        "site",
        tr("Stands"),
        tuple((tr(site.label), site.id) for site in load_sites().values()),
        about=tr("How warm and how sheltered it is there"),
    )
    form.check(
        CAME_IN,
        tr("Comes in on a set day"),
        about=tr("A pot that stands in the open until the frost; else under cover from the start"),
    )
    form.day(
        "sheltered_from",
        tr("Sheltered from"),
        about=tr("The day on which the pot is carried in from the open"),
    )
    form.check(
        SHELTERED,
        tr("Goes out on a set day"),
        about=tr("A pot that winters under cover and is put out in spring"),
    )
    form.day(
        "sheltered_until",
        tr("Sheltered until"),
        about=tr("The day on which the pot goes out into the open"),
    )
    form.length(
        "rim_gap_cm",
        tr("Gap at rim"),
        about=tr("Left free below the rim, for watering"),
    )
    form.line("top_dressing", tr("Top dressing"), about=tr("Grit, gravel …"))
    dressing = form.length(
        "top_dressing_cm", tr("its depth"), about=tr("How thick the top dressing lies")
    )
    dressing.box.setAccessibleName(tr("Depth of top dressing"))
    form.length("crocks_cm", tr("Crocks"), about=tr("Drainage layer at the bottom"))
    form.check(
        "successive",
        tr("Layers are to flower in turn"),
        about=tr("When off, layers that flower together are no fault"),
    )
    form.choice(
        "display_place",
        tr("Shown at"),
        (),
        about=tr("The place to which the pot is moved while it flowers"),
    )
    form.notes("notes", tr("Notes"))
    return {
        "copies": tr("number of equal pots"),
        "shape": tr("shape"),
        "top_width_cm": tr("width at top"),
        "bottom_width_cm": tr("width at bottom"),
        "top_length_cm": tr("length at top"),
        "bottom_length_cm": tr("length at bottom"),
        "inside_height_cm": tr("height of pot"),
        "wall_cm": tr("wall of pot"),
        "material": tr("material"),
        "site": tr("where the pot stands"),
        CAME_IN: tr("shelter"),
        "sheltered_from": tr("shelter"),
        SHELTERED: tr("shelter"),
        "sheltered_until": tr("shelter"),
        "rim_gap_cm": tr("gap at rim"),
        "top_dressing": tr("top dressing"),
        "top_dressing_cm": tr("top dressing"),
        "crocks_cm": tr("crocks"),
        "successive": tr("flowering in turn"),
        "display_place": tr("display place"),
        "notes": tr("notes"),
    }


def pot_fields(key: str, value: object, yard: Yard) -> dict[str, object]:
    """The fields of a pot that a field of the form changes."""
    if key == CAME_IN:
        # By default about when hard frosts begin.
        autumn = (yard.season_year, 5, 15) if yard.place.latitude_deg < 0 else None
        day = date(*(autumn or (yard.season_year - 1, 11, 15)))
        return {"sheltered_from": day if value else None}
    if key == SHELTERED:
        # By default when the leaves may come out: about the start of spring.
        spring = (9, 15) if yard.place.latitude_deg < 0 else (3, 15)
        return {"sheltered_until": date(yard.season_year, *spring) if value else None}
    if key == "top_dressing":
        return {key: str(value).strip() or None}
    return {key: value}


def shown_of(pot: Pot, key: str) -> object:
    """What a field of the form shows of a pot."""
    day = _DAY_OF.get(key)
    return getattr(pot, key) if day is None else getattr(pot, day) is not None


def offer_places(form: Form, yard: Yard) -> None:
    """Offer the yard's places for showing pots."""
    field = form.fields["display_place"]
    assert isinstance(field, ChoiceField)
    places = [(place.name, place.name) for place in yard.display_places]
    field.offer([(tr("none"), None), *places])


def show_rows(form: Form, pots: Sequence[Pot], yard: Yard) -> None:
    """Show the rows that have a sense for all of these pots."""
    is_long = all(pot.shape in LONG_SHAPES for pot in pots)
    is_sheltered = all(pot.site in SHELTERED_SITES for pot in pots)
    for key in ("top_length_cm", "bottom_length_cm"):
        form.set_visible(key, is_long)
    for check, day in _DAY_OF.items():
        has_day = all(getattr(pot, day) is not None for pot in pots)
        form.set_visible(check, is_sheltered)
        form.set_visible(day, is_sheltered and has_day)
    form.set_visible("display_place", bool(yard.display_places))
