"""Any specification there can be, made by hypothesis: every field, odd text, odd numbers. All of it is invented."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any, get_args

from hypothesis import strategies as st

from blockbook.spec.catalogue import Implement, Muscle, shipped
from blockbook.spec.mistakes import MOST_TIMES_BODY_WEIGHT
from blockbook.spec.models import DAYS, EffortAs, Progress, Specification
from blockbook.spec.policy import Policy

Draw = Callable[[st.SearchStrategy[Any]], Any]

ODD_TEXT = (
    "=1+1", "+1", "-1", "@A1", "'quoted", '"quoted"', '""', '"', "say \"no\"", "5", "5.0", "1e5", "8-12", "2:30",
    "2027-01-04", "true", "no", "_x0041_", "a\tb", "a\r\nb", "a\nb", "a\u2028b", "Frühling 💪", "#N/A", "{=A1}",
    "http://localhost/", "slot", "slot.sets", "block.title", "~", "nan", "\\u0041", '"\\n"', "x" * 60,
)  # fmt: skip
"""What spreadsheet programs, YAML or a careless reader would make something else of."""

LOADED = [implement for implement in get_args(Implement) if implement != "band"]
"""A band takes fewer kinds of prescription than the others."""

_BOUNDS = {"ge": "min_value", "gt": "min_value", "le": "max_value", "lt": "max_value"}


def texts(most: int, least: int = 1) -> st.SearchStrategy[str]:
    plain = st.text(st.characters(exclude_categories=["Cs"]), min_size=least, max_size=most)
    odd = st.sampled_from([text for text in ODD_TEXT if len(text) <= most])
    return (plain | odd).map(str.strip).filter(lambda text: len(text) >= least)


def numbers(least: float, most: float) -> st.SearchStrategy[float]:
    """Round ones as coaches write, and those that need every digit."""
    steps = st.integers(int(least * 4) + 1, int(most * 4)).map(lambda quarters: quarters / 4)
    return steps | st.floats(least, most, exclude_min=True)


def some(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | strategy


def next_policies() -> st.SearchStrategy[dict[str, Any]]:
    """A few numbers of the decisions from block to block, and limits of weekly sets."""
    limits = st.tuples(st.integers(0, 8), st.integers(8, 60)).map("{0[0]}-{0[1]}".format)
    return st.fixed_dictionaries(
        {},
        optional={
            "deload_signs": st.integers(1, 4),
            "soreness": st.floats(0, 10),
            "session_minutes": st.none() | st.integers(10, 300),
            "most_sets": st.integers(1, 20),
            "muscle_sets": st.dictionaries(st.sampled_from(get_args(Muscle)), limits, max_size=4),
        },
    )


def policies() -> st.SearchStrategy[dict[str, Any]]:
    """A few numbers of the policy, each within its bounds."""
    values: dict[str, st.SearchStrategy[Any]] = {}
    for name, field in Policy.model_fields.items():
        bounds = {_BOUNDS[kind]: getattr(each, kind) for each in field.metadata for kind in _BOUNDS
                  if getattr(each, kind, None) is not None}  # fmt: skip
        if field.annotation is int:
            values[name] = st.integers(**bounds)
        elif name == "deload_rpe":
            values[name] = st.sampled_from([5, 5.5, 7, 8])
        else:
            low, high = bounds.get("min_value", 0), bounds.get("max_value", 3)
            values[name] = st.floats(low + (high - low) / 100, high)
    return st.fixed_dictionaries({}, optional=values)


@st.composite
def exercises(draw: Draw, name: str) -> dict[str, Any]:
    muscles = st.lists(st.sampled_from(get_args(Muscle)), min_size=1, max_size=6)
    made = {
        "name": name,
        "implement": draw(st.sampled_from(LOADED)),
        "direct": draw(muscles),
        "indirect": draw(st.just([]) | muscles),
        "related": draw(some(st.sampled_from(list(shipped())))),
        "ratio": draw(some(numbers(0, 2))),
        "both_hands": draw(st.booleans()),
        "body_share": draw(st.floats(0, 1)),
        "technical": draw(st.booleans()),
    }
    return {key: value for key, value in made.items() if value is not None}


@st.composite
def slots(draw: Draw, names: list[str], weeks: int) -> dict[str, Any]:
    def weekly(strategy: st.SearchStrategy[Any]) -> Any:
        return draw(strategy | st.lists(strategy, min_size=weeks, max_size=weeks))

    effort = st.integers(10, 20).map(lambda halves: halves / 2)
    reps = st.integers(1, 50)
    ranges = st.tuples(reps, reps).map(lambda ends: f"{min(ends)}-{max(ends)}")
    kind = draw(st.sampled_from(["effort", "range", "top_set", "percent", "fixed", "max_reps"]))
    made: dict[str, Any] = {
        "exercise": draw(st.sampled_from(names)),
        "reps": weekly(reps | ranges if kind == "range" else reps),
        "sets": weekly(st.integers(2, 20)),
        "id": draw(some(st.from_regex(r"[a-z0-9-]{1,40}", fullmatch=True))),
        "pair": draw(some(st.from_regex(r"[a-z0-9]{1,10}", fullmatch=True))),
        "tempo": draw(some(st.sampled_from(["3-1-1", "1-2-X", "20-10", "3-0-1-0"]))),
        "rest": draw(some(texts(20, 0))),
        "cue": draw(some(texts(200, 0))),
        "progress": draw(some(st.sampled_from(get_args(Progress)))),
        "loads": draw(st.dictionaries(st.integers(1, weeks), numbers(0, 2000), max_size=3)),
        "feeler": draw(some(st.booleans())),
        "steer_by_day": draw(some(st.booleans())),
        "hurts": draw(st.booleans()),
        "held_for": draw(some(st.sampled_from(names))),
        "from_last_block": draw(some(numbers(0, 2000))),
        "extra_from_last_block": draw(some(st.integers(-20, 20))),
        "private_note": draw(texts(300, 0)),
    }
    others = [name for name in names if name.casefold() != made["exercise"].casefold()]
    made["stand_ins"] = draw(st.lists(st.sampled_from(others), max_size=5, unique_by=str.casefold)) if others else []
    if kind != "max_reps":
        made["rpe"] = weekly(effort)
    if kind == "top_set":
        made["back_off"] = {
            "sets": weekly(st.integers(0, 20)), "reps": weekly(reps), "drop": draw(numbers(1, 50)),
        }  # fmt: skip
        if draw(st.booleans()):
            made["back_off"]["rpe"] = weekly(effort)
    if kind == "percent":
        made["percent"] = weekly(numbers(20, 110))
    if kind == "fixed":
        made["load"] = weekly(numbers(0, 2000))
    if kind == "max_reps":
        made["reserve"] = draw(st.floats(0, 5))
    if kind in ("effort", "range"):
        made["test_weeks"] = draw(st.lists(st.integers(1, weeks), max_size=3))
    return {key: value for key, value in made.items() if value is not None}


@st.composite
def steps(draw: Draw) -> dict[str, float]:
    ends = sorted((draw(numbers(0, 500)), draw(numbers(0, 500))))
    return {"lightest": ends[0], "heaviest": ends[1], "step": draw(numbers(0.1, 100))}


@st.composite
def specifications(draw: Draw) -> Specification:
    weeks = draw(st.integers(1, 8) | st.just(16))
    days = st.dates(date(2027, 1, 1), date(2030, 1, 1))
    own_names = draw(st.lists(texts(60), max_size=3, unique_by=str.casefold))
    names = [*["back squat", "Bench Press", "cable row", "pull-up"], *own_names]
    start = draw(days)
    body_weight = draw(numbers(21, 660))
    best = st.fixed_dictionaries(
        {"load": numbers(0, min(2000, MOST_TIMES_BODY_WEIGHT * body_weight))},
        optional={"reps": st.integers(1, 20), "rpe": st.floats(5, 10), "spread": numbers(0, 0.5), "on": days},
    )
    lifter = {
        "name": draw(texts(60)),
        "sex": draw(some(st.sampled_from(["female", "male"]))),
        "body_weight": body_weight,
        "birth_year": draw(some(st.integers(1900, 2100))),
        "curve": draw(st.floats(0.5, 2)),
        "effort_bias": draw(some(st.floats(-4, 4))),
        "effort_tests": draw(st.floats(0, 1000)),
        "bests": draw(st.dictionaries(st.sampled_from(names), best, max_size=4)),
    }
    block = {
        "title": draw(texts(80)),
        "start": start,
        "weeks": weeks,
        "unit": draw(st.sampled_from(["kg", "lb"])),
        "deload_week": draw(some(st.integers(1, weeks))),
        "meet": draw(some(st.dates(start, date(2031, 1, 1)))),
        "steer_by_day": draw(st.booleans()),
        "effort_as": draw(st.sampled_from(get_args(EffortAs))),
        "note": draw(texts(300, 0)),
        "private_note": draw(texts(300, 0)),
    }
    if block["deload_week"] == 1 and weeks > 1:
        block["deload_added"] = draw(st.booleans())
    block["alarm_open"] = draw(st.booleans())
    equipment = {
        "bar": draw(numbers(0, 200)),
        "collars": draw(st.floats(0, 20)),
        "plates": {**draw(st.dictionaries(numbers(0, 100), st.integers(0, 20), max_size=6)), 20: 2},
        "dumbbells": draw(steps()),
        "stack": draw(steps()),
        "added_weight": draw(some(steps())),
    }
    sessions = [
        {
            "name": draw(st.sampled_from(["Lower", "Upper"]) | texts(60)),
            "day": draw(some(st.sampled_from(DAYS))),
            "id": f"session-{number}" if draw(st.booleans()) else None,
            "slots": _ids_apart(draw(st.lists(slots(names, weeks), min_size=1, max_size=4))),
        }
        for number in range(draw(st.integers(1, 3)))
    ]
    return Specification.model_validate(
        {
            "block": block,
            "lifter": lifter,
            "equipment": equipment,
            "sessions": sessions,
            "policy": draw(policies()),
            "next_block": draw(next_policies()),
            "exercises": [draw(exercises(name)) for name in own_names],
        }
    )


def _ids_apart(made: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """An id is taken once; the coach's own and those made from names do not meet."""
    return [{**slot, **({"id": f"{number}-{slot['id']}"[:40]} if "id" in slot else {})}
            for number, slot in enumerate(made)]  # fmt: skip
