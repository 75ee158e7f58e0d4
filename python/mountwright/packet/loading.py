"""Until when a glued part must not carry anything: its full strength, by the day of the plan."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from mountwright.packet.words import day, moment, sentence

Fields = dict[str, Any]

HOUR = timedelta(hours=1)


def on_the_card(plan: Fields, part: Fields) -> str:
    """Say on a card until when nothing is hung on the part; nothing where it is not glued.

    The time counts from the last joint of the plan's day; it is what nine joints in ten need, where
    draws were made, and ends on a full hour.

    Examples
    --------
    >>> glue = {"task": "pod / glue", "hands_off": "2026-12-04 10:53", "done_s": 100.0}
    >>> part = {"name": "pod", "joint": {"full_s": {"nominal": 86_400.0, "p90": 90_000.0}}}
    >>> print(on_the_card({"schedule": {"entries": [glue]}}, part))
    hang nothing on it and do not load it until Sat 5 Dec, 12:00,
    if it is glued on Fri 4 Dec, 10:53
    """
    glue = _glue(plan, part)
    if glue is None:
        return ""
    until = moment(glue["hands_off"]) + timedelta(seconds=_full_s(part))
    return (
        f"hang nothing on it and do not load it until {_hour(until)}, "
        f"if it is glued on {day(glue['hands_off'])}"
    )


def for_the_customer(plan: Fields) -> list[str]:
    """Say for each part that is handed back before its glue is at full strength until when.

    A job that is handed back as late as is promised was glued so much later.

    Examples
    --------
    >>> glue = {"task": "pod / glue", "hands_off": "2026-12-04 10:53"}
    >>> part = {"name": "pod", "joint": {"full_s": {"nominal": 86_400.0, "p90": 90_000.0}}}
    >>> schedule = {"entries": [glue], "ready": "2026-12-04 15:00"}
    >>> promise = {"p50": "2026-12-04 15:30", "p90": "2026-12-04 16:00"}
    >>> print(*for_the_customer({"parts": [part], "schedule": schedule, "promise": promise}))
    Pod: hang nothing on it and do not load it until Sat 5 Dec, 13:00: full strength of its glue.
    """
    schedule, promise = plan["schedule"], plan["promise"]
    if not schedule or not promise:
        return []
    back = moment(promise["p90"] or promise["p50"])
    later = max(back - moment(schedule["ready"]), timedelta())
    told = []
    for part in plan["parts"]:
        glue = _glue(plan, part)
        if glue is None:
            continue
        until = moment(glue["hands_off"]) + timedelta(seconds=_full_s(part)) + later
        if until > back:
            told.append(
                sentence(
                    f"{part['name']}: hang nothing on it and do not load it until {_hour(until)}: "
                    "full strength of its glue"
                )
            )
    return told


def _glue(plan: Fields, part: Fields) -> Fields | None:
    """Give when a part is glued on the plan's calendar."""
    if not part["joint"] or not plan["schedule"] or not _full_s(part):
        return None
    task = f"{part['name']} / glue"
    return next((e for e in plan["schedule"]["entries"] if e["task"] == task), None)


def _full_s(part: Fields) -> float:
    """Give the time to full strength that nine joints in ten keep; 0 where it is never reached."""
    full = part["joint"]["full_s"]
    return full["p90"] or full["nominal"] or 0.0


def _hour(stamp: Any) -> str:
    """Write the full hour at or after a time."""
    full = stamp.replace(minute=0, second=0, microsecond=0)
    return day((full if full == stamp else full + HOUR).isoformat())
