"""What had better winter under cover, in words and for JSON."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import timedelta
from typing import Any

from bloomline.files.plain_text import wrapped
from bloomline.plan.stage.winter import WinterOffer
from bloomline.plan.words.shares import of_ten
from bloomline.words import plural, short_span_words, tr


def winter_lines(offers: Sequence[WinterOffer]) -> list[str]:
    """Every offer for a page 100 columns wide; nothing where there is none."""
    if not offers:
        return []
    return [
        "",
        tr("Better under cover in winter:"),
        *(line for each in offers for line in wrapped(offer_words(each), indent="  ", hang="    ")),
        *wrapped(
            tr(
                "Season, work and rota have a pot where it says itself that it stands; --winter "
                "writes these stays into the pots."
            ),
            indent="  ",
        ),
    ]


def offer_words(offer: WinterOffer) -> str:
    """An offer in a sentence: which danger, where, when, and what is left of the danger there."""
    # Bulbs that die are told first, where so few die less that it can't be told of ten, roots.
    killed = round(10 * offer.killed) > round(10 * offer.killed_there)
    shares = (offer.killed, offer.killed_there) if killed else (offer.roots, offer.roots_there)
    values = {
        "pot": offer.called,
        "place": offer.place,
        "here": of_ten(shares[0], "winter"),
        "there": of_ten(shares[1], "winter", never=tr("none")),
        "span": short_span_words(offer.first, offer.until - timedelta(days=1), year=True),
    }
    if killed:
        words = tr(
            "{pot}: where it stands frost kills bulbs in {here}; at {place}, {span}, in {there}.",
            **values,
        )
    else:
        words = tr(
            "{pot}: where it stands roots freeze in {here}; at {place}, {span}, in {there}.",
            **values,
        )
    if not offer.flowers_there:
        return words
    return tr(
        "{words} It begins to flower in there: give it light on mild days.",
        words=words,
    )


def offers_in_short(offers: Sequence[WinterOffer]) -> str:
    """How many pots would fare better under cover; nothing where none would."""
    if not offers:
        return ""
    return plural(
        "{n} pot may freeze where it stands, and has room under cover.",
        "{n} pots may freeze where they stand, and have room under cover.",
        sum(each.copies for each in offers),
    )


def winter_objects(offers: Iterable[WinterOffer]) -> list[dict[str, Any]]:
    """The offers for JSON: days of carrying in and out, and shares of winters."""
    return [
        {
            "pot_id": each.pot_id,
            "pot": each.pot_name,
            "copies": each.copies,
            "place": each.place,
            "cover": each.cover,
            "from": each.first.isoformat(),
            "until": each.until.isoformat(),
            "killed_share": round(each.killed, 4),
            "killed_share_there": round(each.killed_there, 4),
            "frozen_roots_share": round(each.roots, 4),
            "frozen_roots_share_there": round(each.roots_there, 4),
        }
        for each in offers
    ]
