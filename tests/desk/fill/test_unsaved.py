"""What is not saved yet outlives the program; a file is whole at every moment."""

from __future__ import annotations

import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

from cardgen.desk.fill.unsaved import Keeper, hidden
from tests.cli.running import INCH, TREE

WORK = """
import sys
from functools import partial
from pathlib import Path
from cardgen.desk.fill.edits import filled
from cardgen.desk.fill.unsaved import Keeper
path = Path(sys.argv[1])
for number in range(100000):
    edit = partial(filled, path=("rotor", "mark_a"), text=f"mark {number}", unit="")
    Keeper().change(path, edit)
    print(number, flush=True)
    Keeper().save(path)
"""


def test_a_server_killed_while_it_saves_leaves_a_whole_file_and_loses_nothing(tmp_path: Path) -> None:
    rotor = Path(shutil.copy(INCH, tmp_path / "rotor.toml"))
    before = tomllib.loads(rotor.read_text())
    for many in (2, 5, 9):
        process = subprocess.Popen(
            [sys.executable, "-c", WORK, str(rotor)], cwd=TREE, stdout=subprocess.PIPE, text=True
        )
        assert process.stdout is not None
        told = [process.stdout.readline().strip() for _ in range(many)]
        process.kill()
        told += process.communicate()[0].split()
        now = tomllib.loads(rotor.read_text())
        assert {**now, "rotor": {**now["rotor"], "mark_a": ""}} == {
            **before,
            "rotor": {**before["rotor"], "mark_a": ""},
        }
        # The last change that was told of is kept, saved or not yet.
        kept = Keeper().opened(rotor)
        assert int(tomllib.loads(kept.text.decode())["rotor"]["mark_a"].split()[1]) >= int(told[-1])
        assert Keeper().save(rotor).is_changed is False
        assert not hidden(rotor).exists()


def test_a_hidden_file_that_cannot_be_read_is_as_none(tmp_path: Path) -> None:
    rotor = Path(shutil.copy(INCH, tmp_path / "rotor.toml"))
    for content in (b"", b"\xff", b"[]", b'{"text": 1}', b'{"text": "a", "base": null}'):
        hidden(rotor).write_bytes(content)
        assert Keeper().opened(rotor).is_changed is False
