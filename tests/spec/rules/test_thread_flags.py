"""Torques against table 7-1 of AC 43.13-1B, 3/8-24 with a tension nut: 160 to 190, at most 390 in·lbf."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, speaks_just_beyond

EDGES: list[Edge] = [
    (
        rule,
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in quiet.items()},
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in loud.items()},
    )
    for rule, quiet, loud in (
        # A quarter above 190 is 237.5; a quarter below 160 is what gives 160 with a quarter on top, 128.
        ("torque-unlike-handbook", {"torque_max": "237.5"}, {"torque_max": "237.6"}),
        ("torque-unlike-handbook", {"torque_max": "390.1"}, {"torque_max": "390"}),
        ("torque-unlike-handbook", {"torque_min": "128"}, {"torque_min": "127.9"}),
        ("torque-unlike-handbook", {"torque_min": "79.9"}, {"torque_min": "80"}),
        ("torque-thread-bounds", {"torque_min": "80"}, {"torque_min": "79.9"}),
        ("torque-thread-bounds", {"torque_max": "390"}, {"torque_max": "390.1"}),
        ("torque-window-wide", {"torque_max": "280.5"}, {"torque_max": "280.6"}),  # 1.7 x 165
        ("drag-large", {"drag_max": "110"}, {"drag_max": "110.1"}),  # two thirds of 165
    )
]
LOCK = {"track.adjuster_torque_min": "100 in·lbf"}


def on(thread: str, nut: str | None = "tension", **window: str) -> Changes:
    """The first strap bolt on another thread, with other ends of its window."""
    return {"fasteners.0.thread": thread, "fasteners.0.nut": nut} | {
        f"fasteners.0.torque_{end}": torque for end, torque in window.items()
    }


def lock(thread: str, least: str, most: str) -> Changes:
    """The lock of the adjuster."""
    return {
        "track.adjuster_thread": thread,
        "track.adjuster_torque_min": least,
        "track.adjuster_torque_max": most,
    }


def oiled(most: str, nut: str = "tension") -> Changes:
    return {"fasteners.0.threads": "oiled", "fasteners.0.torque_max": most, "fasteners.0.nut": nut}


EDGES += [
    # M8x1.25, 36.6 mm2 (ISO 898-1): 128 and 564 N/mm2 are 0.2 x 0.008 m x 36.6 mm2 times that, 7.496 and 33.03
    # N·m. The area to four figures, 36.61, gives 7.498 and 33.04.
    ("torque-stress", on("M8x1.25", min="7.5 N·m", max="10 N·m"), on("M8x1.25", min="7.49 N·m", max="10 N·m")),
    ("torque-stress", on("M8x1.25", min="25 N·m", max="33 N·m"), on("M8x1.25", min="25 N·m", max="33.1 N·m")),
    # A thin nut bears three fifths: 4.498 and 19.82 N·m.
    (
        "torque-stress",
        on("M8x1.25", "shear", min="4.5 N·m", max="19.8 N·m"),
        on("M8x1.25", "shear", min="4.49 N·m", max="19.8 N·m"),
    ),
    (
        "torque-stress",
        on("M8x1.25", "shear", min="4.5 N·m", max="19.8 N·m"),
        on("M8x1.25", "shear", min="4.5 N·m", max="19.9 N·m"),
    ),
    # 3/8-16, 0.0775 in2: 128 and 564 N/mm2 are 18565 and 81801 lbf/in2, and 107.9 and 475.4 in·lbf.
    ("torque-stress", on("3/8-16", min="108 in·lbf", max="150 in·lbf"), on("3/8-16", min="107 in·lbf")),
    ("torque-stress", on("3/8-16", min="300 in·lbf", max="475 in·lbf"), on("3/8-16", max="477 in·lbf")),
    # What has a row in the handbook is compared with that: 3/8-24 allows 390 in·lbf and begins at 160.
    ("torque-stress", {"fasteners.0.torque_max": "1000 in·lbf"}, on("3/8-16", max="1000 in·lbf")),
    # The lock of an adjuster on M8x1.25: three fifths of the least, all of the most.
    ("torque-stress", lock("M8x1.25", "4.5 N·m", "7 N·m"), lock("M8x1.25", "4.49 N·m", "7 N·m")),
    ("torque-stress", lock("M8x1.25", "25 N·m", "33 N·m"), lock("M8x1.25", "25 N·m", "33.1 N·m")),
    # 3/8-24 has a row: half of 95 with the thin nut, 390 with the strong one.
    (
        "torque-thread-bounds",
        lock("3/8-24", "47.5 in·lbf", "70 in·lbf"),
        lock("3/8-24", "47.4 in·lbf", "70 in·lbf"),
    ),
    (
        "torque-thread-bounds",
        lock("3/8-24", "300 in·lbf", "390 in·lbf"),
        lock("3/8-24", "300 in·lbf", "391 in·lbf"),
    ),
    # Slippery threads take less than the handbook's dry ones.
    (
        "torque-unlike-handbook",
        {"fasteners.0.torque_min": "120 in·lbf", "fasteners.0.threads": "oiled"},
        {"fasteners.0.torque_min": "120 in·lbf"},
    ),
    # Dry, the handbook begins at 160 in·lbf with a tension nut and at 95 with a shear nut.
    ("threads-slippery", oiled("160 in·lbf"), oiled("160.1 in·lbf")),
    ("threads-slippery", oiled("95 in·lbf", "shear"), oiled("95.1 in·lbf", "shear")),
    ("threads-slippery", {**oiled("190 in·lbf"), "fasteners.0.threads": "dry"}, oiled("190 in·lbf")),
    (
        "threads-slippery",
        {**oiled("190 in·lbf"), "fasteners.0.fitted_by": "maker"},
        {"fasteners.0.threads": "greased"},
    ),
    (
        "torque-window-wide",
        {**LOCK, "track.adjuster_torque_max": "170 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "170.1 in·lbf"},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
