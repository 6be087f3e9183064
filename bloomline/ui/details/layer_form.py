"""The form of a layer, for one layer and for several at once."""

from __future__ import annotations

from PySide6.QtCore import QStringListModel, Qt
from PySide6.QtWidgets import QCompleter

from bloomline.errors import BloomlineError, UnknownNameError
from bloomline.ui.details.fields import LineField
from bloomline.ui.details.form import Form
from bloomline.ui.details.spin_fields import NumberField
from bloomline.ui.document import Document
from bloomline.ui.units import Units
from bloomline.words import tr

IS_LIFTED = "is_lifted_on"


def fill_layer_form(form: Form, *, with_lifting: bool) -> dict[str, str]:
    """Put the fields of a layer into a form; what each is called in the undo menu."""
    kind = form.line(
        "cultivar_id",
        tr("Bulb"),
        about=tr("Type part of a name and choose from the list"),
    )
    completions = QStringListModel(form)
    completer = QCompleter(completions, form)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    completer.setMaxVisibleItems(12)
    kind.line.setCompleter(completer)

    def complete(_name: str) -> None:
        kind.line.setModified(True)
        kind.flush()

    completer.activated.connect(complete)
    form.count("count", tr("Number"), low=0, high=99_999, about=tr("Bulbs in this layer"))
    form.length(
        "cover_cm",
        tr("Depth"),
        about=tr("Compost above the tips of the bulbs, from the compost surface"),
    )
    form.day("planted", tr("Planted"), about=tr("The day of planting, planned or done"))
    if with_lifting:
        form.check(
            IS_LIFTED,
            tr("Leaves the pot on a set day"),
            about=tr("The day on which these bulbs are lifted, planned or done"),
        )
        form.day("lifted_on", tr("Lifted on"), about=tr("From that day on they are not in the pot"))
    form.choice(
        "state",
        tr("State"),
        (
            (tr("planned"), "planned"),
            (tr("planted"), "planted"),
            (tr("flowering seen"), "flowering"),
            (tr("lifted"), "lifted"),
        ),
        about=tr("Planned bulbs are on the shopping list, others are not"),
    )
    form.number(
        "prechill_weeks",
        tr("Pre-chilled"),
        low=0,
        high=999,
        decimals=1,
        suffix=tr(" weeks"),
        about=tr("Weeks of cold that the bulbs had before planting"),
    )
    chilled = form.number(
        "prechill_temperature_c",
        tr("at"),
        low=-99,
        high=199,
        none_words=tr("not noted"),
        about=tr("Temperature at which the bulbs were kept cold"),
    )
    chilled.box.setAccessibleName(tr("Pre-chilled at"))
    form.notes("notes", tr("Notes"))
    return {
        "cultivar_id": tr("bulb"),
        "count": tr("number"),
        "cover_cm": tr("depth"),
        "planted": tr("planting date"),
        IS_LIFTED: tr("day of lifting"),
        "lifted_on": tr("day of lifting"),
        "state": tr("state"),
        "prechill_weeks": tr("pre-chilling"),
        "prechill_temperature_c": tr("pre-chilling temperature"),
        "notes": tr("notes"),
    }


def offer_bulbs(form: Form, document: Document) -> None:
    """Offer the names of all bulbs that are known while one is typed."""
    field = form.fields["cultivar_id"]
    assert isinstance(field, LineField)
    completions = field.line.completer().model()
    assert isinstance(completions, QStringListModel)
    own = document.yard.own_cultivars
    names = sorted(each.name for each in document.catalogue.with_own(own))
    if names != completions.stringList():
        completions.setStringList(names)


def show_temperature(form: Form, units: Units) -> None:
    """Write the temperature of pre-chilling in other units."""
    field = form.fields["prechill_temperature_c"]
    assert isinstance(field, NumberField)
    if units.imperial:
        field.show_scale(factor=1.8, offset=32.0, suffix=" °F")
    else:
        field.show_scale(factor=1.0, suffix=" °C")


def cultivar_id_of(document: Document, text: str) -> str:
    """The kind meant by what is typed. Raises UnknownNameError with near names."""
    catalogue = document.catalogue.with_own(document.yard.own_cultivars)
    try:
        return catalogue.find(text).id
    except UnknownNameError as error:
        if error.what == "single cultivar":
            raise BloomlineError(
                tr("Several bulbs go by that name: {names}", names=", ".join(error.near))
            ) from None
        near = ", ".join(error.near)
        words = tr("No bulb is called “{name}”", name=text)
        if near:
            words += tr("; did you mean {names}?", names=near)
        raise BloomlineError(words) from None
