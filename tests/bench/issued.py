"""Enters decks of small files for real specifications, so that a large unchanged fleet is soon made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from cardgen.issuing.issue_deck import issue
from cardgen.issuing.issue_request import Issued
from tests.bench.generate import Made
from tests.issuing.decks import TODAY, Maker, opened, request


def issue_small(made: Sequence[Made], out: Path, version: str, reason: str = "first issue") -> None:
    """Issue a deck for each specification into ``out``; its register is ``out/register.sqlite``."""
    with opened(out / "register.sqlite") as register:
        for each in made:
            asked = replace(request(each.set_id, TODAY, reason), spec=each.path.read_bytes(), version=version)
            done = issue(register, asked, Maker(each.set_id), out)
            assert isinstance(done, Issued), done
