"""The command itself: its name, its commands, its help page."""

from __future__ import annotations

import click

from cardgen import __version__
from cardgen.cli.exits import MEANINGS
from cardgen.cli.lazy import CommandEntry, LazyGroup

ENTRIES = {
    "init": CommandEntry("cardgen.cli.init", "Write a commented specification to fill in."),
    "check": CommandEntry("cardgen.cli.check", "Say everything that stands against making cards."),
    "letter": CommandEntry("cardgen.cli.letter", "Write the questions about what is not given."),
    "draft": CommandEntry("cardgen.cli.draft", "Make the cards, marked NOT ISSUED."),
    "read": CommandEntry("cardgen.cli.read", "Keep that a second person has read it on paper."),
    "issue": CommandEntry("cardgen.cli.issue", "Issue the cards: number, prove, keep and place them."),
    "table": CommandEntry("cardgen.cli.table", "Print the track table of this rotor."),
    "explain": CommandEntry("cardgen.cli.explain", "Show where a printed number comes from."),
    "compare": CommandEntry("cardgen.cli.compare", "Tell what differs between two decks."),
    "verify": CommandEntry("cardgen.cli.verify", "Tell whether a card is current, from its code or its file."),
    "reprint": CommandEntry(
        "cardgen.cli.reprint", "Place the files of an issued deck again, or some of its cards."
    ),
    "withdraw": CommandEntry("cardgen.cli.withdraw", "Take an issued deck out of use."),
    "register": CommandEntry("cardgen.cli.register", "Look at the register of issued decks."),
    "log": CommandEntry("cardgen.cli.log", "Keep log entries and learn from them."),
    "fleet": CommandEntry("cardgen.cli.fleet", "Check, draft or issue every rotor below a folder."),
    "desk": CommandEntry("cardgen.cli.desk", "Keep the rotors below a folder on a page in the browser."),
    "schema": CommandEntry("cardgen.cli.schema", "Print the JSON Schema of a specification."),
}

#: Commands of groups that somebody may look for by their own name.
WITHIN = {"log": ("add", "show", "fit", "plot"), "register": ("list", "sheet", "export")}

_CODES = "  ".join(f"{code.value} {meaning.partition(':')[0]}." for code, meaning in MEANINGS.items())


#: The mark before the last paragraph keeps its lines apart; the command library takes it off again.
_HELP = """Make bench cards for one two-blade teetering gyroplane rotor from its specification.

The cards help with the maker's instructions and never replace them. Numbers come from the
specification, which names the document and page of each; nothing is filled in.

\b
A first deck:
  cardgen init rotor.toml
  cardgen check rotor.toml
  cardgen draft rotor.toml --out out/
"""


@click.group(
    cls=LazyGroup,
    entries=ENTRIES,
    within=WITHIN,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help=_HELP,
    epilog=f"Exit codes: {_CODES}",
)
@click.version_option(__version__, message="%(prog)s %(version)s")
def app() -> None:
    """Hold the commands; each is imported when it is called."""
