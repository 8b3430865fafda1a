"""Fill in: the specification one group at a time, each change judged and kept at once, saved when asked."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from typing import Any

from flask import Blueprint, Response, abort, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from cardgen.desk.fill import edits
from cardgen.desk.fill.form import also_called, box_id, chapter_of, group_names, group_part, path_of, words
from cardgen.desk.fill.judged import Judged, judged
from cardgen.desk.fill.typed import shown_in_box, split
from cardgen.desk.fill.unsaved import Unsaved, hash_of
from cardgen.desk.hangar import Rotor
from cardgen.desk.pages import Place, page, the_desk, the_rotor
from cardgen.proof.glance import Glance, GlanceTask
from cardgen.spec.fields import expected
from cardgen.spec.problem import Path, key_of
from cardgen.spec.written import NotWrittenError

_PAGES = Blueprint("fill", __name__, url_prefix="/rotor/<rotor_id>/fill")
PLACE = Place("Fill in", _PAGES, "fill.begin", of_rotor=True)

_DISK = "The system refused to keep this change ({why}). What was kept before is still there; nothing was lost."


@_PAGES.get("/")
def begin(rotor_id: str) -> AnyResponse:
    """Open the first group that has something against it, at its box."""
    rotor = the_rotor(rotor_id)
    found = _judged(rotor, _opened(rotor))
    counts = found.counts()
    first = next((name for name in group_names() if counts[name]), group_names()[0])
    keys = [each["key"] for each in found.under(first)] if counts[first] else []
    anchor = box_id(keys[0]) if keys else None
    return redirect(url_for("fill.show", rotor_id=rotor_id, group=first, _anchor=anchor), 303)


@_PAGES.get("/<group>")
def show(rotor_id: str, group: str) -> str:
    """Show one group as a form, with the sheet beside it."""
    rotor = the_rotor(rotor_id)
    if group not in group_names():
        abort(404)
    kept = _opened(rotor)
    found = _judged(rotor, kept)
    the_desk().sheets.begin(rotor.id, _task(kept, group))
    names = group_names()
    at = names.index(group)
    documents = (found.table or {}).get("documents", [])
    return page(
        "fill.html.j2",
        words(group).capitalize(),
        rotor,
        group=group,
        part=group_part(group, found.table) if found.table is not None else None,
        chapter=chapter_of(group),
        groups=[(name, words(name).capitalize(), chapter_of(name)) for name in names],
        counts=found.counts(),
        against=found.under(group),
        faults=found.problems if found.table is None else (),
        kept=kept,
        previous=names[at - 1] if at else None,
        following=names[at + 1] if at + 1 < len(names) else None,
        documents=[str(each.get("id", "")) for each in documents if isinstance(each, dict)]
        if isinstance(documents, list)
        else [],
        carried=kept.source,
        also_called=also_called,
    )


@_PAGES.post("/change")
def change(rotor_id: str) -> Response | tuple[Response, int]:
    """Take one change of one field; answer what stands against the file now."""
    rotor, path = the_rotor(rotor_id), _path()
    asked = request.form

    def edit(kept: Unsaved) -> Unsaved:
        if "open" in asked:
            return edits.left_open(kept, path, asked["open"] == "yes")
        if "document" in asked:
            return edits.sourced(kept, path, asked["document"], asked.get("place", ""))
        return edits.filled(kept, path, asked.get("value", ""), asked.get("unit", ""))

    try:
        kept = the_desk().keeper.change(rotor.path, edit)
    except NotWrittenError as error:
        return jsonify(trouble=f"Nothing was changed: {error}."), 409
    except OSError as error:
        return jsonify(trouble=_DISK.format(why=(error.strerror or "it cannot be written").lower())), 507
    if kept.is_changed:
        # The other processor prints while this one judges.
        the_desk().sheets.begin(rotor.id, _task(kept, asked["key"]), asked.get("now", ""))
    return jsonify(_answer(rotor, kept, path))


@_PAGES.post("/row")
def row(rotor_id: str) -> AnyResponse:
    """Add one more to a list, like the one above or empty, or take one out; or leave a group out."""
    rotor, path = the_rotor(rotor_id), _path()
    what = request.form.get("what", "")
    acts: dict[str, Callable[[Unsaved], Unsaved]] = {
        "add": lambda kept: edits.row_added(kept, path, like=False),
        "same": lambda kept: edits.row_added(kept, path, like=True),
        "remove": lambda kept: edits.row_removed(kept, path),
        "leave out": lambda kept: edits.left_out(kept, path),
    }
    if what not in acts:
        abort(400, "This page does not know what to do.")
    try:
        the_desk().keeper.change(rotor.path, acts[what])
    except NotWrittenError as error:
        abort(409, f"Nothing was changed: {error}.")
    except OSError as error:
        abort(500, _DISK.format(why=(error.strerror or "it cannot be written").lower()))
    group = str(path[0])
    return redirect(url_for("fill.show", rotor_id=rotor_id, group=group, _anchor="end"), 303)


@_PAGES.post("/save")
def save(rotor_id: str) -> AnyResponse:
    """Write the file, unless somebody changed it since; then both are shown."""
    rotor = the_rotor(rotor_id)
    try:
        kept = the_desk().keeper.save(rotor.path)
    except OSError as error:
        why = (error.strerror or "it cannot be written").lower()
        abort(
            500, f"The file was not saved: {why}. It is as it was, and everything filled in is kept beside it."
        )
    if kept.is_overtaken:
        return redirect(url_for("fill.compare", rotor_id=rotor_id), 303)
    group = request.form.get("group", "")
    group = group if group in group_names() else group_names()[0]
    return redirect(url_for("fill.show", rotor_id=rotor_id, group=group), 303)


@_PAGES.get("/two")
def compare(rotor_id: str) -> str:
    """Show what the file says now beside what was filled in here."""
    rotor = the_rotor(rotor_id)
    kept = _opened(rotor)
    today = the_desk().today()
    theirs = edits.flat(judged(kept.file, rotor.name, today).table, kept.file)
    mine = edits.flat(judged(kept.text, rotor.name, today).table, kept.text)
    keys = [key for key in dict.fromkeys((*theirs, *mine)) if theirs.get(key) != mine.get(key)]
    rows = [(key, theirs.get(key, "–"), mine.get(key, "–")) for key in keys]
    return page("fill_two.html.j2", "Two versions", rotor, rows=rows, seen=hash_of(kept.file), kept=kept)


@_PAGES.post("/take")
def take(rotor_id: str) -> AnyResponse:
    """Go on with one of two versions."""
    rotor = the_rotor(rotor_id)
    if request.form.get("which") == "mine":
        the_desk().keeper.take_mine(rotor.path, request.form.get("seen", ""))
        return save(rotor_id)
    the_desk().keeper.drop(rotor.path)
    return redirect(url_for("fill.begin", rotor_id=rotor_id), 303)


@_PAGES.get("/sheet")
def sheet(rotor_id: str) -> str:
    """Answer a piece of page: the sheet that a key lands on, as it would print now."""
    rotor = the_rotor(rotor_id)
    asked = request.args
    side = asked.get("side", "")
    task = _task(
        _opened(rotor), asked.get("key", ""), asked.get("card", ""), int(side) if side.isdecimal() else 0
    )
    found = the_desk().sheets.sheet(rotor.id, task, asked.get("now", ""))
    if not isinstance(found, Glance):
        return render_template("fill_sheet.html.j2", why=found.why, glance=None, rotor=rotor)
    picture = f"data:image/png;base64,{b64encode(found.picture).decode()}"
    return render_template("fill_sheet.html.j2", glance=found, picture=picture, key=task.key, why="")


@_PAGES.get("/letter")
def letter(rotor_id: str) -> str:
    """Show the letters that ask for what is not given, to copy or to print."""
    from cardgen.deck.letter import letter_card, letters
    from cardgen.press.plain import sheet_text
    from cardgen.spec.load import load_bytes

    rotor = the_rotor(rotor_id)
    loaded = load_bytes(_opened(rotor).text, rotor.name, the_desk().today())
    table = loaded.table or {}
    texts = [sheet_text(letter_card(each, table)) for each in letters(table)]
    return page("fill_letter.html.j2", "Letter", rotor, texts=texts, left=len(loaded.problems))


def _task(kept: Unsaved, key: str, card: str = "", side: int = 0) -> GlanceTask:
    path = path_of(key) or ()
    if path[-2:-1] == ("sources",):
        # Where a value comes from is seen where the value stands.
        path = (*path[:-2], path[-1])
    return GlanceTask(kept.text, the_desk().today(), key_of(path), path, card, side)


def _path() -> Path:
    path = path_of(request.form.get("key", ""))
    if path is None:
        abort(400, "There is no such key.")
    return path


def _opened(rotor: Rotor) -> Unsaved:
    return the_desk().keeper.opened(rotor.path)


def _judged(rotor: Rotor, kept: Unsaved) -> Judged:
    return judged(kept.text, rotor.name, the_desk().today())


def _answer(rotor: Rotor, kept: Unsaved, path: Path) -> dict[str, Any]:
    found = _judged(rotor, kept)
    held: Any = found.table
    source: Any = None
    for part in path:
        if isinstance(held, dict) and "source" in held:
            source = held["source"]
        held = (
            held[part]
            if isinstance(held, dict) and part in held
            else (held[part] if isinstance(held, list) and isinstance(part, int) and part < len(held) else None)
        )
    meaning = expected(path)
    value, unit = split(held, meaning.kind) if meaning and meaning.kind else (shown_in_box(held), "")
    return {
        "problems": found.under(str(path[0])),
        "counts": found.counts(),
        "value": value,
        "unit": unit,
        "source": str(source or ""),
        "changed": kept.is_changed,
        "overtaken": kept.is_overtaken,
    }
