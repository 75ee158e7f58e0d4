# ruff: noqa: E501
"""A plan made by hand, to build the packet against. Every figure in it is invented."""

from typing import Any

Plan = dict[str, Any]


def band(value: float | None, share: float = 0.15) -> dict[str, Any]:
    if value is None:
        return {"nominal": None, "p10": None, "p50": None, "p90": None}
    return {
        "nominal": value,
        "p10": value * (1 - share),
        "p50": value,
        "p90": value * (1 + share),
    }


def svg(width_mm: float, height_mm: float, inside: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm}mm" height="{height_mm}mm" '
        f'viewBox="0 0 {width_mm} {height_mm}">{inside}</svg>'
    )


def history() -> dict[str, list[float]]:
    times = [float(t) for t in range(0, 300, 2)]
    front, back, mean, coldest = [], [], [], []
    core = 294.0
    for t in times:
        gas = 440.0 if t < 116 else 294.0
        core += (gas - core) * 2 / (130 if t < 116 else 95)
        swing = (14 if (t // 8) % 2 == 0 else -4) if t < 116 else 0
        front.append(core + swing)
        back.append(core + 10 - swing if t < 116 else core)
        mean.append(core + 2)
        coldest.append(core - (5 if t < 116 else -1))
    return {"t_s": times, "front_k": front, "back_k": back, "mean_k": mean, "coldest_k": coldest}


def recipe() -> dict[str, Any]:
    return {
        "opens_s": band(96.0),
        "closes_s": band(136.0),
        "stop_s": band(116.0),
        "working_time_s": band(19.0),
        "hold_s": band(64.0),
        "touch_s": band(150.0),
        "closed_by": "upper",
        "has_window": True,
        "no_window": None,
        "reheats_left": 3,
        "reheats_bound_by": "dose",
        "peak_face_k": 402.0,
        "core_k_at_stop": 386.0,
        "dose": 0.04,
        "need": "limp",
        "behind": "open air, turned every 8 s",
        "gun": "two-setting gun, II",
        "distance_m": 0.1,
        "strokes": [
            "Clamp the gun, setting II, nozzle 100 mm off the strap. Gloves on.",
            "Sweep the whole 38 mm middle, end to end in about 2 s; never stand still.",
            "Turn the strap over every 8 s.",
            "At about 1:36 it sags under its own weight: that is limp.",
            "Stop at 1:56. Press it over the plug and foam within 19 s, tabs flat.",
            "Hold it still for 1:04, until the outside no longer takes a thumb nail.",
        ],
        "limits": {
            "limp_k": 378.15,
            "formable_k": 403.15,
            "upper_k": 433.15,
            "set_k": 358.15,
            "fume_onset_k": 473.15,
        },
        "history": history(),
        "body_peak_k": band(341.0, 0.02),
        "body_limit_k": 363.15,
        "notes": [
            {"about": "jet correlation", "text": "used at 2.9 diameters, published for 2 to 12"}
        ],
    }


def area(x: float, y: float, width: float, height: float) -> dict[str, float]:
    return {"x_m": x, "y_m": y, "width_m": width, "height_m": height}


def strap(name: str, hand: str) -> dict[str, Any]:
    return {
        "name": name,
        "kind": "strap",
        "places": [f"{hand} pillar"],
        "hand": hand,
        "quantity": 1,
        "material": "abs",
        "material_title": "ABS sheet",
        "thickness_m": 0.003,
        "finish": "vinyl-wrap",
        "measured": [
            {"what": "body diameter", "value": 0.047, "plus_minus": 0.0005, "unit": "m"},
            {"what": "axis height", "value": 0.027, "plus_minus": 0.001, "unit": "m"},
            {"what": "front reach", "value": 0.039, "plus_minus": 0.001, "unit": "m"},
            {"what": "rear reach", "value": 0.046, "plus_minus": 0.001, "unit": "m"},
            {"what": "screw spacing", "value": 0.107, "plus_minus": 0.0, "unit": "m"},
        ],
        "blank": {
            "length_m": 0.2314,
            "width_m": 0.038,
            "area_m2": 0.0079,
            "edge_length_m": 0.52,
            "cut_length_m": 0.53,
            "layer_thicknesses_m": [0.003],
            "notes": [],
        },
        "recipe": recipe(),
        "joint": None,
        "finish_steps": [
            {"name": "key and wipe", "attended_s": band(480), "wait_s": band(300)},
            {"name": "adhesive", "attended_s": band(300), "wait_s": band(900)},
            {"name": "wrap and trim", "attended_s": band(1800), "wait_s": None},
        ],
        "finish_adds_m": band(0.0006),
        "finish_cautions": ["Solvent wipe: open the door, no flame, gloves."],
        "checks": [
            {
                "name": "edge distance of the screws",
                "figure": 0.011,
                "limit": 0.008,
                "unit": "m",
                "margin": 0.375,
                "verdict": "pass",
                "why": "11 mm from the edge, 8 mm asked for",
                "mend": None,
                "source": "common practice, no source",
                "standing": "common-practice",
            },
            {
                "name": "parked in the sun",
                "figure": 341.0,
                "limit": 353.0,
                "unit": "K",
                "margin": 0.03,
                "verdict": "marginal",
                "why": "a dark pod on a pillar reaches 68 °C; ABS formed hot begins to go back at 80 °C",
                "mend": "a light wrap, or polycarbonate",
                "source": "cabin survey (see sources)",
                "standing": "published",
            },
            {
                "name": "heat at the tweeter behind the foam",
                "figure": 341.0,
                "limit": 363.15,
                "unit": "K",
                "margin": 0.2,
                "verdict": "pass",
                "why": "68 °C for a minute, 90 °C allowed",
                "mend": None,
                "source": "computed",
                "standing": "derived",
            },
        ],
    }


def ring() -> dict[str, Any]:
    return {
        "name": "front door ring",
        "kind": "ring",
        "places": ["left front door", "right front door"],
        "hand": "either",
        "quantity": 2,
        "material": "expanded-pvc",
        "material_title": "expanded (foamed) PVC board",
        "thickness_m": 0.026,
        "finish": "filled-painted",
        "measured": [
            {"what": "width", "value": 0.186, "plus_minus": 0.0, "unit": "m"},
            {"what": "cutout width", "value": 0.142, "plus_minus": 0.0005, "unit": "m"},
        ],
        "blank": {
            "length_m": 0.186,
            "width_m": 0.186,
            "area_m2": 0.0113,
            "edge_length_m": 1.03,
            "cut_length_m": 2.1,
            "layer_thicknesses_m": [0.013, 0.013],
            "notes": [{"about": "stack", "text": "two layers of 13 mm give 26 mm"}],
        },
        "recipe": None,
        "joint": {
            "name": "layers to each other",
            "adhesive": "pvc-cement",
            "title": "solvent cement for PVC",
            "why": "both faces are PVC; no primer",
            "substrates": ["expanded-pvc", "expanded-pvc"],
            "area_m2": 0.0113,
            "amount_m3": 4.2e-6,
            "packs": {"count": 1, "of_m3": 250e-6},
            "open_s": band(60.0),
            "handling_s": band(3600.0),
            "full_s": band(86400.0),
            "strength_pa": {"low": 1e6, "value": 2e6, "high": 4e6},
            "preparation": "Abrade both faces, wipe, let dry 5 min.",
            "cautions": ["Solvent cement: strong vapour, flammable; ventilate, no flame, gloves."],
            "notes": [],
        },
        "finish_steps": [],
        "finish_adds_m": band(0.0004),
        "finish_cautions": [],
        "checks": [
            {
                "name": "depth behind the door card",
                "figure": 0.038,
                "limit": 0.052,
                "unit": "m",
                "margin": 0.27,
                "verdict": "fail",
                "why": "the magnet touches the glass",
                "mend": "32 mm depth",
                "source": "measured",
                "standing": "measured-by-shop",
            }
        ],
    }


def plan() -> Plan:
    parts = [strap("left pod", "left"), strap("right pod", "right"), ring()]
    names = [
        ("measure", "measure", None, "2026-12-01 08:30", "2026-12-01 08:42", "2026-12-01 08:42"),
        ("cut", "left pod / cut", "left pod", "2026-12-01 08:42", "2026-12-01 09:10", "2026-12-01 09:10"),
        ("heat", "left pod / heat and form", "left pod", "2026-12-01 09:10", "2026-12-01 09:20", "2026-12-01 09:30"),
        ("heat", "right pod / heat and form", "right pod", "2026-12-01 09:20", "2026-12-01 09:32", "2026-12-01 09:40"),
        ("bond", "front door ring / glue layers", "front door ring", "2026-12-01 16:50", "2026-12-01 17:10", "2026-12-02 05:10"),
        ("finish", "left pod / wrap", "left pod", "2026-12-02 08:30", "2026-12-02 09:20", "2026-12-02 09:20"),
        ("hand-back", "rattle, polarity, hand back", None, "2026-12-02 10:30", "2026-12-02 11:00", "2026-12-02 11:00"),
    ]  # fmt: skip
    return {
        "schema": 1,
        "program": "mountwright 0.1.0",
        "draws": 256,
        "seed": 1,
        "job": {
            "name": "Tweeter pods, both pillars",
            "vehicle": "the grey estate",
            "invented": True,
            "remarks": "The pods aim at the far seat; left and right were measured apart and differ.",
            "start": "2026-12-01 08:30",
            "units": "metric",
            "sun": "mild",
        },
        "shop": {"name": "Lantern Lane Sound (invented)", "invented": True, "currency": "XTS"},
        "refused": [
            {
                "place": "rear quarter trim",
                "parts": ["rear pod"],
                "why": "nobody has looked whether an air bag is there",
                "find_out": "look in the vehicle maker's instructions for the path of the curtain",
                "consider_instead": ["left pillar", "right pillar"],
            }
        ],
        "parts": parts,
        "layouts": [
            {
                "material": "abs",
                "thickness_m": 0.003,
                "buy": [{"name": "ABS 3 mm", "count": 1, "price": 58.0, "days_to_arrive": 2}],
                "sheets_used": [
                    {
                        "stock": "A-17",
                        "kind": "offcut",
                        "width_m": 0.42,
                        "height_m": 0.31,
                        "placements": [
                            {"part": "left pod", "copy": 1, "bounds": area(0.005, 0.005, 0.231, 0.04)},
                            {"part": "right pod", "copy": 1, "bounds": area(0.005, 0.05, 0.231, 0.04)},
                        ],
                        "steps": [
                            {"what": "through", "from_m": [0, 0.1], "to_m": [0.42, 0.1], "stop_m": 0.1}
                        ],
                        "kept": [{"area": area(0.005, 0.1, 0.4, 0.2), "value": 2.1}],
                    }
                ],
                "yield_fraction": 0.31,
                "unplaced": [],
                "cut_length_m": 1.06,
                "drawings": ["layout-abs-3mm-1.svg"],
                "notes": [],
            }
        ],
        "tasks": [
            {
                "id": task,
                "part": part,
                "kind": kind,
                "attended_s": band(900),
                "wait_s": None,
                "after": [],
            }
            for kind, task, part, *_ in names
        ],
        "schedule": {
            "entries": [
                {
                    "task": task,
                    "start": start,
                    "hands_off": off,
                    "done": done,
                    "start_s": 0,
                    "hands_off_s": 1,
                    "done_s": 2,
                }
                for _, task, _, start, off, done in names
            ],
            "attended_s": band(16200.0),
            "elapsed_s": band(95400.0),
            "ready": "2026-12-02 11:00",
            "bound_s": 90000.0,
            "proved": True,
        },
        "promise": {
            "p50": "2026-12-02 11:00",
            "p80": "2026-12-02 12:30",
            "p90": "2026-12-02 15:00",
            "words": "nine jobs in ten are ready by Wed 2 Dec, 15:00",
        },
        "estimate": {
            "lines": [
                {"name": "ABS 3 mm", "group": "material", "amount": 0.02, "unit": "sheet", "rate": 58.0, "cost": band(1.2)},
                {"name": "vinyl film", "group": "consumable", "amount": 0.06, "unit": "m²", "rate": 21.0, "cost": band(1.3)},
                {"name": "heat and form", "group": "labour", "amount": 0.9, "unit": "h", "rate": 34.0, "cost": band(30.6)},
                {"name": "wrap", "group": "labour", "amount": 1.6, "unit": "h", "rate": 34.0, "cost": band(54.4)},
                {"name": "shop time", "group": "overhead", "amount": 2.5, "unit": "h", "rate": 16.0, "cost": band(40.0)},
                {"name": "spoiled blanks", "group": "rework", "amount": 0.2, "unit": "blank", "rate": 9.0, "cost": band(1.8)},
            ],
            "cost": band(129.3),
            "hours": band(4.5),
        },
        "price": {
            "currency": "XTS",
            "net": "216.00",
            "tax": "43.20",
            "gross": "259.20",
            "minor_digits": 2,
            "chance_of_loss": 0.02,
            "margin_fraction": 0.4,
            "words": "cost and a margin of 40 %, rounded up to whole units",
        },
        "causes": [
            {"input": "pace of the fabricator", "share_of_cost_spread": 0.61, "share_of_time_spread": 0.7},
            {"input": "flow of the gun", "share_of_cost_spread": 0.11, "share_of_time_spread": 0.05},
        ],
        "changes": [{"what": "one spare blank for each pod", "why": "one form in ten comes out wrong"}],
        "provenance": {
            "counts": {"published": 2, "common-practice": 1},
            "entries": [
                {
                    "name": "abs.conductivity",
                    "value": 0.18,
                    "low": 0.17,
                    "high": 0.23,
                    "unit": "W/m/K",
                    "source": "a handbook, 1st edition",
                    "standing": "published",
                    "used_by": "heat",
                }
            ],
        },
        "cautions": [
            "Hot air: over 500 °C at the nozzle; gloves, eye protection, nothing that burns near it, let the nozzle cool upright.",
            "Fumes: extract or open the door; stop at any bite, smell or smoke.",
            "Solvents: no flame, no heat gun in the same room, gloves.",
            "Router and saw: eye and ear protection, work clamped, no gloves at the cutter.",
            "Local codes, the data sheet of the sheet and licensed practice come first.",
        ],
        "notes": [],
    }  # fmt: skip


def drawings() -> list[tuple[str, str, str, str, str]]:
    strap_path = (
        '<path d="M2 12 L40 8 C80 0 150 0 190 8 L229 12 L229 30 L190 34 C150 42 80 42 40 34 L2 30 Z"'
        ' fill="none" stroke="#000" stroke-width=".5"/>'
        '<path d="M115 0V42" stroke="#000" stroke-width=".25" stroke-dasharray="6 2"/>'
    )
    return [
        ("left-pod-blank.svg", "Blank of left pod", "left pod", "blank", svg(231, 42, strap_path)),
        ("right-pod-blank.svg", "Blank of right pod", "right pod", "blank", svg(231, 42, strap_path)),
        (
            "layout-abs-3mm-1.svg",
            "ABS 3 mm, offcut A-17",
            "",
            "layout",
            svg(420, 310, '<rect x="1" y="1" width="418" height="308" fill="none" stroke="#000"/>'),
        ),
    ]  # fmt: skip
