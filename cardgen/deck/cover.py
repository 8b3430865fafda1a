"""What the cover says about the deck itself: its stamp, its cards, its papers, its doubts."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from markupsafe import Markup

from cardgen.deck.card import LeftOut, Stamp
from cardgen.deck.listed_cards import listed_cards
from cardgen.deck.selection import also_left_out
from cardgen.deck.templates import quoted
from cardgen.layouts_root import layouts_root
from cardgen.spec.model import RotorSpec
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN

_KIND_WORDS = {
    "maker": "the maker",
    "club": "the club or the owner",
    "adhesive": "the maker of the adhesive",
    "general": "a handbook",
}
#: The shape of an entry, country by country; a reminder, and no claim that it satisfies a rule.
_RECORDS = {
    "us-amateur-built": "Usual here: work, date, total hours, name, number and kind of certificate, signature.",
    "uk-permit": "Usual here: work, date, who did it under which authority, limits that follow.",
    "ca-amateur-built": "Usual here: an accurate, readable and dated entry, made before the next flight.",
    "au": "Usual here: what the administering body's manual asks for. Look at the manual now in force.",
    "other": "Write what the rules of the country of registration ask for.",
}


@dataclass(frozen=True)
class CoverWords:
    """The deck as its cover describes it."""

    spec: RotorSpec
    stamp: Stamp
    changes: tuple[str, ...]
    cards: tuple[str, ...]
    left_out: tuple[LeftOut, ...]

    @property
    def is_draft(self) -> bool:
        """Whether no register knows this deck."""
        return self.stamp.is_draft

    @property
    def revision(self) -> Markup:
        """The revision in the register."""
        return quoted(str(self.stamp.revision), "stamp.revision")

    @property
    def code(self) -> Markup:
        """The code that proves that two decks are the same."""
        return quoted(self.stamp.code, "stamp.code")

    @property
    def issued(self) -> Markup:
        """The day of issue."""
        return quoted(self.stamp.issued.isoformat() if self.stamp.issued else "not issued", "stamp.issued")

    @property
    def read_by(self) -> Markup:
        """Who has read the specification against its papers, and on which day."""
        on = f" on {self.stamp.read_on.isoformat()}" if self.stamp.read_on else ""
        return quoted(f"{self.stamp.read_by}{on}", "stamp.read_by")

    @property
    def approved_by(self) -> Markup:
        """Who answers for the deck."""
        return quoted(self.stamp.approved_by, "stamp.approved_by")

    @property
    def titles(self) -> tuple[str, ...]:
        """Titles of the cards in the deck, in the order of work."""
        return tuple(listed_cards()[card].title for card in self.cards)

    @property
    def day(self) -> tuple[tuple[str, str], ...]:
        """Title of each card of the day in the order of work, and when it is worked if not always."""
        listed, alignment = listed_cards(), self.spec.rotor.alignment
        worked = [listed[card] for card in self.cards if listed[card].worked]
        return tuple((card.title, card.said_when(alignment)) for card in worked)

    @property
    def not_given(self) -> tuple[tuple[Markup, str], ...]:
        """What the papers leave open: the bolt or the subject, and the key in a reader's words."""
        return tuple(_left_open(self.spec))

    @property
    def missing(self) -> tuple[tuple[str, Markup], ...]:
        """Title and reason of every card that is left out."""
        gone = (*also_left_out(self.spec), *self.left_out)
        return tuple((each.title, quoted(each.why, f"left_out.{each.id}")) for each in gone)

    @property
    def change_list(self) -> tuple[Markup, ...]:
        """What changed since the deck before this one."""
        return tuple(quoted(change, f"changes[{place}]") for place, change in enumerate(self.changes, start=1))

    @property
    def no_changes(self) -> Markup:
        """What stands where nothing is listed; it belongs to the issue, and is no change by itself."""
        return quoted("There is nothing to compare this deck with.", "changes[1]")

    @property
    def copies(self) -> tuple[tuple[str, Markup], ...]:
        """Edition and place of every listed copy."""
        copies = self.spec.print.copies if self.spec.print else ()
        return tuple(
            (_copies_called(copy.edition), quoted(copy.place, f"print.copies[{at}].place"))
            for at, copy in enumerate(copies, start=1)
        )

    @property
    def records_words(self) -> str:
        """What an entry needs under this rotor's rules, in plain words that claim nothing."""
        return _RECORDS[self.spec.authority.jurisdiction]

    def kind(self, place: int) -> str:
        """Who speaks in a document, counted from 1."""
        return _KIND_WORDS[self.spec.documents[place - 1].kind]


def _left_open(spec: RotorSpec) -> Iterator[tuple[Markup, str]]:
    """Name what is listed as not given, and without `[run]` what run-up and track ask of it."""
    for group, keys in MAY_BE_NOT_GIVEN.items():
        held = spec.value((group,))
        for at, each in enumerate(held if isinstance(held, tuple) else (held,), start=1):
            place = f"{group}[{at}]" if isinstance(held, tuple) else group
            open_keys = (keys if group == "run" else ()) if each is None else each.not_given
            for key in keys:
                if key not in open_keys:
                    continue
                named = quoted(each.name, f"{place}.name") if hasattr(each, "name") else Markup(group)
                yield named, key.replace("_", " ")


@cache
def _copies_called(edition: str) -> str:
    """Read what the copies of an edition are called; everything else in its file is for the press."""
    text = (layouts_root() / "editions" / f"{edition}.toml").read_text("utf-8")
    return str(tomllib.loads(text)["copies"])
