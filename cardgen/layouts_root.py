"""Where the layouts are: inside the installed package, or beside it in a source tree."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path


def layouts_root() -> Path:
    """Find the folder of cards, words, editions and screen layouts.

    A wheel carries it as ``cardgen/layouts``; an editable install and a source tree have it
    beside the package.
    """
    shipped = Path(str(files("cardgen"))) / "layouts"
    if shipped.is_dir():
        return shipped
    return Path(__file__).resolve().parents[1] / "layouts"
