"""The harness that changes signs and comparisons, tried on a module of a few lines."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.mutate import Drawn, Guards, Task, draw, report, run, survivor, task_here
from tests.bench.mutations import Mutation, mutations_of
from tests.bench.tree_copy import Answer

MODULE = '''"""Two sums."""


def guarded(low: int, high: int = 3) -> bool:
    """Whether low is less than high."""
    return low < high


def unguarded(most: int) -> int:
    """Add one."""
    return most + 1


def endless(count: int) -> int:
    """Count down."""
    while count > 0:
        count = count - 1
    return count
'''
TEST = """from cardgen.figures.sums import endless, guarded, unguarded


def test_sums() -> None:
    assert guarded(2) and not guarded(3)
    assert unguarded(2) > 0
    assert endless(2) == 0
"""
PLACE = "cardgen/figures/sums.py"


@pytest.fixture
def task(tmp_path: Path) -> Task:
    """A tree with one module of sums and its test."""
    tree = tmp_path / "tree"
    for file, text in ((PLACE, MODULE), ("tests/figures/test_sums.py", TEST), ("cardgen/__init__.py", "")):
        path = tree / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    return Task(tree, ("cardgen/figures",), Guards({}), {(PLACE, "return most + 1", "1 to 2"): "a reason"})


def mutation(task: Task, code: str, name: str) -> Mutation:
    (found,) = [each for each in task.mutations() if (each.code, each.name) == (code, name)]
    return found


def test_a_guarded_change_is_found_and_an_unguarded_one_reported(task: Task) -> None:
    planted = [
        mutation(task, "return low < high", "< to <="),
        mutation(task, "return most + 1", "+ to -"),
        mutation(task, "return most + 1", "1 to 2"),
    ]
    results = run(task, planted, jobs=1)
    assert [each.answer for each in results] == [Answer.FAILED, Answer.PASSED, Answer.PASSED]
    told = report(results, task.scope)
    assert told.splitlines()[1].split() == ["cardgen/figures", "3", "1", "33.3%"]
    assert f"{PLACE}:11: + to -\n  return most + 1\n  NOT EXPLAINED" in told
    assert f"{PLACE}:11: 1 to 2\n  return most + 1\n  a reason" in told
    assert (task.tree / PLACE).read_text("utf-8") == MODULE


def test_a_change_that_never_ends_counts_as_found(task: Task, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.bench.mutate._LEAST_SECONDS", 2.0)
    (result,) = run(task, [mutation(task, "count = count - 1", "- to +")], jobs=1)
    assert result.answer is Answer.HUNG
    assert result.is_found


def test_tests_that_fail_without_a_change_stop_the_harness(task: Task) -> None:
    (task.tree / "tests/figures/test_sums.py").write_text("assert False\n", "utf-8")
    with pytest.raises(RuntimeError, match="fail without a change"):
        run(task, [mutation(task, "return low < high", "< to <=")], jobs=1)


def test_a_module_without_tests_stops_the_harness(task: Task) -> None:
    (task.tree / "tests/figures/test_sums.py").unlink()
    with pytest.raises(RuntimeError, match="no tests guard"):
        run(task, [mutation(task, "return low < high", "< to <=")], jobs=1)


def changes(source: str) -> list[str]:
    found = mutations_of("m.py", source)
    for each in found:
        compile(each.apply(source), each.module, "exec")
    return [each.name for each in found]


@pytest.mark.parametrize(
    ("code", "names"),
    [
        ("x = (a) + (b * c)", ["+ to -", "* to /"]),
        ("x = a - b / c", ["- to +", "/ to *"]),
        ("x = a < b <= c", ["< to <=", "<= to <"]),
        ("x = a > b >= c", ["> to >=", ">= to >"]),
        ("x = a == b != c", ["== to !=", "!= to =="]),
        ("x = a and not b or c", ["and to or", "not  to ", "or to and"]),
        ("x = min(a, max(b, c))", ["min to max", "max to min"]),
        ("x = math.ceil(a) + floor(b)", ["ceil to floor", "+ to -", "floor to ceil"]),
        ("x = True, False", ["True to False", "False to True"]),
        ("x = 1, 60, 0.5, 0.0, -2", ["1 to 2", "60 to 66", "0.5 to 0.55", "0.0 to 0.1", "- to +", "2 to 3"]),
        ("f(way='up', bound=Bound.AT_MOST)", ["'up' to \"down\"", "AT_MOST to AT_LEAST"]),
        ("x += 1", ["+= to -=", "1 to 2"]),
        ("x = 'µ' if a<b else (\n    c  # a < b\n    < d\n)", ["< to <=", "< to <="]),
        ("x = a < b, c < d", ["< to <=", "< to <= (2)"]),
    ],
)
def test_each_kind_of_change_is_drawn_where_it_stands(code: str, names: list[str]) -> None:
    assert changes(code) == names


@pytest.mark.parametrize(
    "code",
    [
        '"""A text with 1 < 2."""',
        "x: Annotated[int, 5]",
        "def f(x: Literal[1, 2]) -> Literal[3]: ...",
        "Way: TypeAlias = Literal['up', 'down']",
        "@dataclass(frozen=True)\nclass A: ...",
        "raise ValueError(f'{a + 1}')",
        "x = f'{a + 1}'",
        "_DIGITS = 3\nx = f'{a:.{_DIGITS}f}'",
        "x = 'a' + b",
        "x = [*a] + [*b]",
        "x += ', and so on'",
        "x = list(zip(a, b, strict=True))",
        "yield Line(x, y - 1.5, 4, 0.5)",
    ],
)
def test_what_no_test_could_tell_is_not_drawn(code: str) -> None:
    assert changes(code) == []


def test_a_seed_draws_the_same_changes_after_the_code_has_moved() -> None:
    moved = '"""Two sums, and a longer text."""\n\nEXTRA = None\n' + MODULE.partition("\n")[2]
    before, after = (draw(mutations_of(PLACE, text), 4, seed=7) for text in (MODULE, moved))
    assert [(each.code, each.name) for each in before] == [(each.code, each.name) for each in after]
    assert [each.line for each in before] != [each.line for each in after]
    assert before != draw(mutations_of(PLACE, MODULE), 4, seed=8)


def test_every_pattern_leads_to_a_test_and_every_module_has_one() -> None:
    task = task_here()
    for key, patterns in task.guards.tests.items():
        assert (task.tree / key).exists(), key
        for pattern in patterns:
            assert list(task.tree.glob(pattern)), pattern
    for test in task.guards.left_out:
        file, _, name = test.partition("::")
        assert f"def {name}(" in (task.tree / file).read_text("utf-8"), test
    for module in {each.module for each in task.mutations()}:
        assert task.guards.of(module, task.tree), module


def test_every_change_that_is_called_harmless_can_still_be_drawn() -> None:
    task = task_here()
    there = {(each.module, each.code, each.name) for each in task.mutations()}
    assert task.harmless.keys() <= there
    assert all(why.endswith(".") for why in task.harmless.values())


def test_a_survivor_is_told_with_its_place_and_change() -> None:
    change = Mutation("m.py", 3, "return a < b", 0, 1, "<", "<=", 1)
    assert (
        survivor(Drawn(change, Answer.PASSED, 0.1, None)) == "m.py:3: < to <=\n  return a < b\n  NOT EXPLAINED"
    )
