"""The press beside the form: one worker process of its own that stays warm, asked for one sheet at a time."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field

from cardgen.issuing.fleet.pool import Failed, Pool
from cardgen.proof.glance import Glance, GlanceTask, NoGlance


@dataclass
class SheetPress:
    """Prints sheets to look at. What a key lands on is remembered for each rotor, by its id."""

    _pool: Pool = field(default_factory=lambda: Pool(1))
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _lands: dict[str, Mapping[str, tuple[str, ...]]] = field(default_factory=dict)
    _last: tuple[GlanceTask, Glance | NoGlance] | None = None
    _is_over: bool = False

    def sheet(self, rotor_id: str, task: GlanceTask, now: str = "") -> Glance | NoGlance:
        """Print one side. ``now`` is the card shown before: it stays where the key is on it."""
        card = task.card or self._card_of(rotor_id, task.key, now)
        asked = GlanceTask(task.text, task.today, task.key, task.path, card, task.side)
        with self._lock:
            if self._last is None or self._last[0] != asked:
                self._last = asked, self._done(asked)
            found = self._last[1]
        if isinstance(found, Glance) and found.lands:
            self._lands[rotor_id] = found.lands
        return found

    def begin(self, rotor_id: str, task: GlanceTask, now: str = "") -> None:
        """Begin to print a side that will be asked for next."""
        threading.Thread(target=self.sheet, args=(rotor_id, task, now), daemon=True).start()

    def stop(self) -> None:
        """End the worker once it has finished what it is doing."""
        with self._lock:
            self._is_over = True
            self._pool.__exit__()

    def _card_of(self, rotor_id: str, key: str, now: str) -> str:
        here = self._lands.get(rotor_id, {}).get(key, ())
        return now if now in here else next(iter(here), "")

    def _done(self, task: GlanceTask) -> Glance | NoGlance:
        if self._is_over:
            return NoGlance("The desk is being closed.")
        found: Glance | NoGlance | Failed = NoGlance("The desk is being closed.")
        for _, result in self._pool.results([task]):
            found = result
        if isinstance(found, Failed):
            return NoGlance(f"The sheet could not be printed: {found.what}.")
        return found
