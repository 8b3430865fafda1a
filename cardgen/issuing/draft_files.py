"""Whether a file is of a draft, which no register knows."""

from __future__ import annotations

from pathlib import Path

from cardgen.register.currency import read_bounded

#: What a draft's files say of themselves: a PDF in its document information, the others in their text.
_DRAFT_SAYS = {
    ".pdf": b"(DRAFT, not issued)",
    ".json": b'"draft": true',
    ".txt": b"DRAFT, NOT ISSUED",
    ".html": b"DRAFT, NOT ISSUED",
}

DRAFT = (
    "a draft, marked NOT ISSUED; no register knows a draft, and it has no code. To work from these cards, have "
    "them issued with cardgen issue, then ask with the code from the foot of a card"
)


def is_drafts_file(path: Path) -> bool:
    """Whether a file that no register knows says of itself that it belongs to a draft.

    Nothing is gained by saying so falsely: neither a draft nor an unknown file is to be used.
    """
    mark, content = _DRAFT_SAYS.get(path.suffix.lower()), read_bounded(path)
    return mark is not None and isinstance(content, bytes) and mark in content
