"""What the cover says about the deck itself: its stamp, its cards, its papers, its doubts."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from cardgen.deck.card import LeftOut, Stamp
from cardgen.deck.selection import title_of
from cardgen.deck.templates import quoted
from cardgen.spec.model import RotorSpec

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
#: Cards that are read, not worked through; `pitch` stands outside the day.
_NO_WORK = frozenset({"cover", "flow", "pitch", "log-slip", "newcomer"})
#: Cards that a second person ticks off as well.
_CRITICAL = frozenset({"assembly", "string", "torque", "balance", "sealing", "teeter", "install", "track"})
_EDITION_WORDS = {"wall": "wall cards", "pouch": "pouch cards", "handout": "handout"}


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
        return tuple(title_of(card) for card in self.cards)

    @property
    def day(self) -> tuple[tuple[str, str, str], ...]:
        """Title of each working card, when it is worked if not always, and how many people tick it off."""
        cards = [card for card in self.cards if card not in _NO_WORK]
        if "second-reading" in cards and "teeter" in cards:
            # Every move of an adjuster can shift the hub block: looked at again once the track is done.
            cards.insert(cards.index("second-reading") + 1, "teeter")
        return tuple((title_of(card), self._when(card), "2" if card in _CRITICAL else "1") for card in cards)

    def _when(self, card: str) -> str:
        if card == "string" and self.spec.rotor.alignment == "self-centring":
            return ", as an optional check"
        return ", only where shake remains" if card == "shake" else ""

    @property
    def missing(self) -> tuple[tuple[str, Markup], ...]:
        """Title and reason of every card that is left out."""
        return tuple((gone.title, quoted(gone.why, f"left_out.{gone.id}")) for gone in self.left_out)

    @property
    def change_list(self) -> tuple[Markup, ...]:
        """What changed since the deck before this one."""
        return tuple(quoted(change, f"changes[{place}]") for place, change in enumerate(self.changes, start=1))

    @property
    def no_changes(self) -> Markup:
        """What stands where nothing is listed; it belongs to the issue, and is no change by itself."""
        return quoted("There is nothing to compare this deck with.", "changes[1]")

    @property
    def has_copies(self) -> bool:
        """Whether any copy is listed."""
        return bool(self.spec.print and self.spec.print.copies)

    @property
    def records_words(self) -> str:
        """What an entry needs under this rotor's rules, in plain words that claim nothing."""
        return _RECORDS[self.spec.authority.jurisdiction]

    def kind(self, place: int) -> str:
        """Who speaks in a document, counted from 1."""
        return _KIND_WORDS[self.spec.documents[place - 1].kind]

    def edition(self, place: int) -> str:
        """Which edition a listed copy is, counted from 1."""
        copies = (self.spec.print.copies if self.spec.print else None) or ()
        return _EDITION_WORDS[copies[place - 1].edition]
