"""Print what each command costs on this machine: ``python -m tests.bench``.

Nothing here passes or fails. Compare two runs on one machine, taken when nothing else runs on it.
"""

from __future__ import annotations

import os
import platform
import tempfile
from pathlib import Path
from statistics import median

from tests.bench import others
from tests.bench.measure import RUNS, Cost, cost, import_times, told_by
from tests.bench.stages import BY_THE_PAGE
from tests.issuing.decks import read_answer

SPEC = "sample_inputs/nr-0306.toml"
TODAY = ("--today", "2026-11-25")
FLOOR = "tests/bench/floor.py"
# Pint loads numpy where it finds it. The tests bring it; a keeper's installation does not have it.
CARDGEN = ("-c", "import sys; sys.modules['numpy'] = None; from cardgen.cli import main; main()")
#: The libraries that a deck needs, imported and nothing done with them.
IMPORTS = (
    "import sys; sys.modules['numpy'] = None; import click, jinja2, pydantic, pint; pint.UnitRegistry(); "
    "import qrcode, pypdf, reportlab.pdfgen.canvas, pypdfium2"
)
#: The commands that are compared with it.
PAIRED = ("draft, pouch, three cards", "draft, all editions", "issue, all editions")

_THREE = [word for card in ("cover", "torque", "track") for word in ("--card", card)]


def commands(out: str) -> dict[str, list[str]]:
    """Name the measured commands and their arguments."""
    draft = [*CARDGEN, "draft", SPEC, *TODAY, "--out", out]
    return {
        "--version": [*CARDGEN, "--version"],
        "--help": [*CARDGEN, "--help"],
        "check": [*CARDGEN, "check", SPEC, *TODAY],
        "table": [*CARDGEN, "table", SPEC, *TODAY],
        "explain, all figures": [*CARDGEN, "explain", SPEC, *TODAY],
        "draft, all cards as text": [*CARDGEN, "draft", SPEC, *TODAY, "--text"],
        "draft, pouch, three cards": [*draft, "--edition", "pouch", *_THREE],
        "draft, pouch": [*draft, "--edition", "pouch"],
        "draft, handout": [*draft, "--edition", "handout"],
        "draft, all editions": draft,
    }


def issue(folder: Path) -> list[str]:
    """Issue into a new folder, with a register that is new in the first run and grows from then on."""
    program = (
        "import sys, tempfile; sys.modules['numpy'] = None; from cardgen.cli import main; "
        f"sys.argv += ['--out', tempfile.mkdtemp(dir={str(folder)!r}) + '/out']; main()"
    )
    answer = ("--approved-by", "Bench", "--reason", "measuring", "--register", str(folder / "register.sqlite"))
    return ["-c", program, "issue", SPEC, *TODAY, *answer, *read_answer(Path(SPEC))]


def main() -> None:
    """Measure and print."""
    print(f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}")
    print(f"medians of {RUNS} cold runs after one to warm up, as installed without the tests' own packages\n")
    print(f"{'command':<28}{'wall, ms':>10}{'user+sys, ms':>14}{'peak, MiB':>11}")
    with tempfile.TemporaryDirectory() as folder:
        _as_installed(folder)
        costs = {name: cost(arguments) for name, arguments in commands(folder).items()}
        costs["issue, all editions"] = cost(issue(Path(folder)))
        for name, each in costs.items():
            _row(name, each)
        _against_imports(commands(folder), issue(Path(folder)))
        pages = _against_the_floor(costs["draft, all editions"], Path(folder))
        page = _stages(pages)
        _against_others(costs["draft, handout"], page, Path(folder))
        print("\nwhere imports spend their time, ms")
        for name in ("--help", "check", "draft, all editions"):
            parts = ", ".join(
                f"{package} {spent:.0f}" for package, spent in import_times(commands(folder)[name])
            )
            print(f"  {name}: {parts}")


def _as_installed(folder: str) -> None:
    """Let every process find its modules compiled, as an installation has them."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = f"{folder}/compiled"


def _against_imports(known: dict[str, list[str]], issued: list[str]) -> None:
    """Print what commands cost against importing their libraries, each run beside one of those."""
    print("\nagainst importing the libraries, paired (median of ratios)")
    for name in PAIRED:
        arguments = known.get(name, issued)
        pairs = [(cost(arguments, 1), cost(["-c", IMPORTS], 1)) for _ in range(RUNS)]
        wall = median(one.wall / other.wall for one, other in pairs)
        processor = median(one.processor / other.processor for one, other in pairs)
        print(f"{name:<28}{wall:>10.1f} times wall{processor:>8.1f} times user+sys")


def _stages(pages: int) -> float:
    """Print what each stage of a draft costs, and what one more page costs by that; gives the latter in ms."""
    runs = [told_by(["-m", "tests.bench.stages", SPEC, TODAY[1]]).splitlines() for _ in range(RUNS)]
    spent: dict[str, list[float]] = {}
    for stage, milliseconds in (line.split("\t") for run in runs for line in run):
        spent.setdefault(stage, []).append(float(milliseconds))
    print(f"\n{'stages of a draft':<28}{'user+sys, ms':>14}{'a page, ms':>12}")
    for stage, each in spent.items():
        by_the_page = f"{median(each) / pages:.2f}" if stage in BY_THE_PAGE else ""
        print(f"{stage:<28}{median(each):>14.0f}{by_the_page:>12}")
    total = sum(median(each) for each in spent.values())
    grows = sum(median(spent[stage]) for stage in BY_THE_PAGE) / pages
    print(f"{'together':<28}{total:>14.0f}{grows:>12.2f}   all in: {total / pages:.1f} ms a page")
    return grows


def _against_others(handout: Cost, page: float, folder: Path) -> None:
    """Print what others need for the same content, each as a whole process, and for one more page."""
    print("\nthe same content by others (whole processes; ratios of user+sys)")
    if others.has("weasyprint"):
        html, pages = others.from_the_twin(folder / "cards.html", folder, RUNS)
        _row(f"WeasyPrint, twin, {pages} pages", html)
        print(f"  {html.processor / handout.processor:.1f} times a draft of the handout, proof included")
    else:
        print("WeasyPrint: not installed")
    if others.has("typst"):
        whole, empty, pages = others.typeset(SPEC, TODAY[1], folder, RUNS)
        each = (whole.processor - empty.processor) * 1000 / pages
        _row(f"Typst, handout, {pages} pages", whole)
        print(f"  {each:.2f} ms for one more page; here {page:.2f} ms, {page / each:.1f} times that")
    else:
        print("Typst: not installed")


def _against_the_floor(whole: Cost, folder: Path) -> int:
    marks = folder / "marks"
    pages = int(told_by(["-m", "tests.bench.plain_marks", SPEC, TODAY[1], str(marks)]))
    floor = cost([FLOOR, str(marks), str(folder / "floor.pdf")])
    _row(f"bare canvas, same {pages} pages", floor)
    wall, processor = whole.wall / floor.wall, whole.processor / floor.processor
    print(f"\ndraft of all editions against bare canvas: {wall:.1f} times wall, {processor:.1f} times user+sys")
    return pages


def _row(name: str, each: Cost) -> None:
    print(f"{name:<28}{each.wall * 1000:>10.0f}{each.processor * 1000:>14.0f}{each.memory:>11.0f}")


if __name__ == "__main__":
    main()
