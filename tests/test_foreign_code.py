"""Nothing runs and nothing is written that somebody else has planted: each attack is tried."""

from __future__ import annotations

import marshal
import os
import pickle
import subprocess
import sys
from hashlib import sha1, sha256
from io import BytesIO
from pathlib import Path

import jinja2
import pytest
from jinja2.bccache import bc_magic

from cardgen import __version__
from cardgen.issuing.fleet.memory import NAME, Memory
from cardgen.layouts_root import layouts_root
from tests.cli.running import METRIC, TODAY, TREE, cardgen_apart


def _planted(folder: Path, marker: Path) -> None:
    """Plant a compiled track card, as earlier versions kept it and without a key, that runs code of its own."""
    source = layouts_root() / "cards" / "track.xml.j2"
    with source.open(encoding="utf-8", newline="") as file:
        text = file.read()
    code = compile(f"open({str(marker)!r}, 'w').close()", "planted", "exec")
    content = BytesIO()
    content.write(bc_magic)
    pickle.dump(sha1(text.encode()).hexdigest(), content, 2)
    marshal.dump(code, content)
    seal = sha256(f"cardgen {__version__}, jinja {jinja2.__version__}\n".encode() + content.getvalue()).digest()
    key = sha1(b"track.xml.j2" + f"|{source}".encode()).hexdigest()
    folder.mkdir(parents=True)
    (folder / f"{key}.template").write_bytes(seal + content.getvalue())


def test_compiled_words_in_a_cache_are_neither_run_nor_kept(tmp_path: Path) -> None:
    marker, cache = tmp_path / "ran", tmp_path / "cache" / "cardgen"
    _planted(cache, marker)
    before = sorted(cache.iterdir())
    ran = cardgen_apart(
        *("draft", METRIC, "--text", "--card", "track", *TODAY),
        environment={"XDG_CACHE_HOME": str(tmp_path / "cache"), "HOME": str(tmp_path)},
    )
    assert (ran.code, marker.exists()) == (0, False), ran.err
    assert "STOP" in ran.out
    assert sorted(cache.iterdir()) == before


def test_a_worker_imports_no_module_that_lies_in_the_folder(tmp_path: Path) -> None:
    marker, script = tmp_path / "ran", tmp_path / "script" / "hand_out.py"
    work = tmp_path / "work"
    work.mkdir()
    script.parent.mkdir()
    for name in ("multiprocessing", "pickle", "cardgen"):
        (work / f"{name}.py").write_text(f"open({str(marker)!r}, 'w').close()\n")
    script.write_text(
        "from cardgen.issuing.fleet.pool import Pool\n"
        "from tests.issuing.test_fleet_pool import Twice\n"
        "if __name__ == '__main__':\n"
        "    with Pool(1) as pool:\n"
        "        print([result for _, result in pool.results([Twice(5)])])\n"
    )
    done = subprocess.run(
        [sys.executable, str(script)],
        cwd=work,
        env={**os.environ, "PYTHONPATH": str(TREE)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert (done.stdout, marker.exists()) == ("[10]\n", False), done.stderr


@pytest.mark.parametrize("planted", ["link", "pipe"])
def test_a_fleet_s_memory_is_never_written_through_a_link_and_never_waits_for_a_pipe(
    tmp_path: Path, planted: str
) -> None:
    victim = tmp_path / "victim"
    victim.write_text("precious\n")
    if planted == "link":
        (tmp_path / NAME).symlink_to(victim)
    else:
        os.mkfifo(tmp_path / NAME)
    Memory(tmp_path, "1").learn_draft("RB-1-draft", "00", {"wall.pdf": 1})
    assert victim.read_text() == "precious\n"
