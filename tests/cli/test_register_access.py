"""The register that a command looks into: one that was named must be there, one in its usual place need not."""

from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.cli.errors import run
from cardgen.cli.exits import Exit
from tests.cli.running import INCH


def said(capsys: pytest.CaptureFixture[str], *arguments: str | Path) -> tuple[int, str]:
    code = run([str(each) for each in arguments])
    return code, capsys.readouterr().err


@pytest.fixture
def printed(tmp_path: Path) -> Path:
    path = tmp_path / "card.pdf"
    path.write_bytes(b"%PDF-1.4 a card of somebody else\n")
    return path


def test_a_named_register_that_is_not_there_stops_every_command_alike(
    tmp_path: Path, printed: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("CARDGEN_REGISTER", str(tmp_path / "none.sqlite"))
    verified = said(capsys, "verify", printed)
    assert verified == (Exit.TROUBLE, verified[1])
    assert f"{tmp_path / 'none.sqlite'}: there is no register here" in verified[1]
    assert said(capsys, "compare", printed, INCH) == verified
    assert said(capsys, "compare", INCH, printed, "--register", tmp_path / "none.sqlite") == verified
    folder = tmp_path / "fleet"
    folder.mkdir()
    (folder / "rotor.toml").write_bytes(INCH.read_bytes())
    assert said(capsys, "fleet", "impact", "MAKER-1", folder) == verified


def test_a_register_that_nobody_named_need_not_be_there_to_compare(
    tmp_path: Path, printed: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # Set to nothing, the variable names nothing.
    monkeypatch.setenv("CARDGEN_REGISTER", "")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    code, err = said(capsys, "compare", printed, INCH)
    assert code == Exit.REFUSED
    assert "is not an issued file" in err
