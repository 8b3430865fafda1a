"""Print what one field's change costs at the desk: ``python -m tests.bench.desk``.

First in processor time, stage by stage, warm, in one process: what other programs do on this machine counts
for little in it. Then, with ``--browser``, what a keeper waits for in a real browser at a real desk.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from datetime import date
from functools import partial
from pathlib import Path
from statistics import median
from typing import Any
from unittest import mock

from cardgen.desk.fill.edits import filled
from cardgen.desk.fill.form import path_of
from cardgen.desk.fill.judged import judged
from cardgen.desk.fill.unsaved import Keeper
from cardgen.proof import glance

SPEC = Path("sample_inputs/nr-0306.toml")
TODAY = date(2026, 11, 25)
KEY, CARD = "fasteners[1].torque_max", "torque"
RUNS = 7
#: What a sheet is made by, as `cardgen.proof.glance` calls it.
STAGES = {
    "load_bytes": "sheet: read and judge",
    "compute": "sheet: figures",
    "build_deck": "sheet: deck",
    "lay_out": "sheet: layout",
    "paint": "sheet: paint",
    "_picture": "sheet: picture",
}
#: Sets one bolt's torque; answers when its problems are there and when its sheet is, in milliseconds.
_CHANGE = """async (value) => {
  const box = document.querySelector("#fasteners-1-torque_max"), sheet = document.querySelector("#sheet");
  const drawn = new Promise((done) => new MutationObserver((_, seen) => {
    if (sheet.hasAttribute("aria-busy")) return;
    seen.disconnect();
    done(performance.now());
  }).observe(sheet, { attributeFilter: ["aria-busy"] }));
  performance.clearResourceTimings();
  const begun = performance.now();
  box.value = value;
  box.dispatchEvent(new Event("change", { bubbles: true }));
  const sheetAt = await drawn - begun;
  await new Promise(requestAnimationFrame);
  const told = performance.getEntriesByType("resource").find((each) => each.name.endsWith("/change"));
  return [told.responseEnd - begun, sheetAt];
}"""


def stages() -> dict[str, float]:
    """Measure one change's stages, as medians of warm runs, in milliseconds of processor time."""
    spent: dict[str, list[float]] = {}
    with tempfile.TemporaryDirectory() as folder:
        rotor = Path(shutil.copy(SPEC, folder))
        for at in range(RUNS + 1):
            for stage, milliseconds in _once(rotor, str(198 + at)).items():
                spent.setdefault(stage, []).append(milliseconds)
    return {stage: median(each[1:]) for stage, each in spent.items()}


def _once(rotor: Path, value: str) -> dict[str, float]:
    spent: dict[str, float] = {}

    def timed(stage: str, make: Callable[..., Any], *given: Any, **named: Any) -> Any:
        begun = time.process_time()
        made = make(*given, **named)
        spent[stage] = spent.get(stage, 0.0) + (time.process_time() - begun) * 1000
        return made

    path = path_of(KEY)
    assert path is not None
    edit = partial(filled, path=path, text=value, unit="in·lbf")
    kept = timed("change: edit and keep", Keeper().change, rotor, edit)
    found = timed("change: judge", judged, kept.text, rotor.name, TODAY)
    assert not found.problems
    task = glance.GlanceTask(kept.text, TODAY, KEY, path, CARD)
    with ExitStack() as stack:
        for name, stage in STAGES.items():
            made = partial(timed, stage, getattr(glance, name))
            stack.enter_context(mock.patch.object(glance, name, made))
        whole = time.process_time()
        sheet = task()
        whole = (time.process_time() - whole) * 1000
    assert isinstance(sheet, glance.Glance)
    spent["sheet: where each number is"] = whole - sum(spent[stage] for stage in STAGES.values())
    return spent


def in_a_browser() -> list[tuple[float, float]]:
    """Change one field again and again; give when problems and when the sheet were there, in milliseconds."""
    from tests.desk.serving import served
    from tests.press.browser import browser

    with tempfile.TemporaryDirectory() as folder, browser() as started:
        rotors = Path(folder) / "rotors"
        rotors.mkdir()
        shutil.copy(SPEC, rotors)
        with served(rotors) as (_, address):
            page = started.new_page(viewport={"width": 1400, "height": 900})
            page.goto(address)
            page.locator(".hangar a").first.click()
            page.goto(f"{page.url}fill/fasteners")
            page.locator("#sheet svg").wait_for(timeout=60_000)
            told = [page.evaluate(_CHANGE, str(198 + at)) for at in range(RUNS + 2)]
    return [(each[0], each[1]) for each in told[2:]]


def main() -> None:
    """Measure and print."""
    found = stages()
    for stage, milliseconds in found.items():
        print(f"{stage:<32}{milliseconds:>8.0f} ms of processor time")
    for part in ("change", "sheet"):
        whole = sum(each for stage, each in found.items() if stage.startswith(part))
        print(f"{part}, together{'':<{22 - len(part)}}{whole:>8.0f} ms")
    if "--browser" in sys.argv:
        told = in_a_browser()
        for name, each in zip(("problems", "sheet"), zip(*told, strict=True), strict=True):
            print(
                f"{name}: median {median(each):.0f} ms, {min(each):.0f} to {max(each):.0f}, as a keeper waits"
            )


if __name__ == "__main__":
    main()
