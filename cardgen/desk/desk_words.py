"""What lower layers say to somebody with a file and a terminal, said to somebody at the desk.

Their messages name what is typed into the file and which command to run. Here a box is filled in and a
page is opened. Whatever is not in these tables is said as it is; a test finds what ought to be in them.
"""

from __future__ import annotations

import re
from dataclasses import replace

from cardgen.spec.problem import Problem
from cardgen.spec.rules import RULES

#: Of the file: quotes, brackets and keys are the form's business.
_FILE = (
    ("nothing stands between the quotes", "nothing is filled in"),
    (r'not_given = \["\w+"\](?: and this line taken out)?, if', 'tick "The paper does not say", if'),
    ("this key is needed", "this is needed"),
    (r"\w+ = \[ … \]: ", ""),
    ("year, month and day without quotes", "year, month and day"),
    ('2027-11-30, or "2027-11", or "2027"', "2027-11-30, or 2027-11, or 2027"),
    ("a date without quotes and without a time is expected", "a day is expected"),
    ("a day without quotes, or between quotes its year and month", "a day, or its year and month"),
    ("without quotes, point or unit", "without point or unit"),
    ("only true or false, without quotes, can", "only yes or no can"),
    (", between quotes$", ""),
    ("the words between quotes", "words"),
    (r"whole numbers only, such as \[1, 2\]", "whole numbers only, such as 1, 2"),
    (r"\[\[[\w.]+\]\], in double brackets, then its keys; once for each", "at least one, with its boxes"),
    (r'record = \["line", "line"\]', "the lines, one below the other"),
    ("; with drag = add", "; where it is added"),
    ("then every dial_ key is", "then every box of the dial is"),
    ("as drawn_a", "as the marks of the blades are"),
    (r"(?:^|; )(?:needed )?with (?:max_total|track_speeds)(?:: |$)", ""),
    ("take this entry out", 'untick "The paper does not say"'),
    ("leave this key out", "leave this box empty"),
)
#: Of commands: their names, and what is given to them.
_COMMANDS = (
    (
        r"draft it, have a second person read copied\.pdf .*",
        "have a second person read it on the page Read against the paper",
    ),
    (r"draft it again, and read the new copied\.pdf", "open the page again, and read it"),
    (r"^--approved-by$", "Who answers for it"),
    (r"^--reason$", "Why"),
    (r"^--by$", "Read by"),
    ("issued with cardgen issue, then", "issued, then"),
    (r"another --out, or move", "move"),
    (r"; `register export` saves what can still be read", ""),
    (r", or name the register with --register", ", and its drive"),
    (r", then run `register check`", ""),
    (r"run `register check`; where", "have whoever keeps the register look through it; where"),
    (r", or give the day with --today; if", "; if"),
    (r"wrong day, cardgen register correct", "wrong day, whoever keeps the register can correct that"),
    (r"; `register check` lists everything that is wrong", ""),
    (r"; see them all with --json", ""),
    (r"a number that `log show` gives", "the number of an entry on this page"),
    (r"the id that `cardgen check` prints in brackets", "the id of the check that objects"),
)
_FLAGS = frozenset(rule.id for rule in RULES if rule.kind == "flag")
_SAID = tuple((re.compile(pattern), said) for pattern, said in _FILE + _COMMANDS)


def desk_words(text: str) -> str:
    """Say a message in the desk's words."""
    for pattern, said in _SAID:
        text = pattern.sub(said, text)
    return text


def at_desk(problem: Problem) -> Problem:
    """Say a problem in the desk's words: its box is not named again before what goes into it.

    A check that may be overridden is named with its key, for both are asked for there.
    """
    own = re.sub(r".*\.|\[\d+\]$", "", problem.key)
    write, why = problem.write.removeprefix(f"{own} = "), desk_words(problem.why)
    if problem.rule in _FLAGS:
        why = f"{why} (check {problem.rule}, key {problem.key})"
    return replace(problem, key=desk_words(problem.key), why=why, write=desk_words(write))
