"""Where the layouts are: inside the installed package, or beside it in a source tree."""

from __future__ import annotations

import tomllib
from functools import cache
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from cardgen import __version__


def layouts_root() -> Path:
    """Find the folder of cards, words, editions and screen layouts.

    A wheel carries it as ``cardgen/layouts``; an editable install and a source tree have it
    beside the package.
    """
    shipped = Path(str(files("cardgen"))) / "layouts"
    if shipped.is_dir():
        return shipped
    return Path(__file__).resolve().parents[1] / "layouts"


@cache
def edition_names() -> tuple[str, ...]:
    """Name the editions that there are, each a file of ``editions``, in the order of the alphabet."""
    return tuple(sorted(file.stem for file in (layouts_root() / "editions").glob("*.toml")))


@cache
def usual_editions() -> tuple[str, ...]:
    """Name the editions that are made where nothing else is said: all that are not ``on_request``."""
    folder = layouts_root() / "editions"
    return tuple(
        name
        for name in edition_names()
        if not tomllib.loads((folder / f"{name}.toml").read_text("utf-8")).get("on_request")
    )


def layouts_digest(root: Path) -> str:
    """Hash every layout file with its path, so that changed words make another code.

    The pages of the desk are in no deck, and change none.
    """
    digest = sha256()
    for file in sorted(path for path in root.rglob("*") if path.is_file()):
        name = file.relative_to(root).as_posix()
        if name.startswith("screen/desk/") or any(part.startswith((".", "__")) for part in name.split("/")):
            continue
        digest.update(f"{name}\0{sha256(file.read_bytes()).hexdigest()}\n".encode())
    return digest.hexdigest()


def made_with() -> str:
    """Name what decks are made with: this program's version and a hash of the layouts."""
    return f"{__version__}+layouts.{layouts_digest(layouts_root())[:16]}"
