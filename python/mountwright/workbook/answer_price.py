"""What it costs: the customer's quote, and the shop's own sums behind it."""

from __future__ import annotations

from typing import Any

from mountwright.packet import taken
from mountwright.packet.loading import for_the_customer
from mountwright.packet.page import VERDICTS, labour
from mountwright.packet.quote import (
    ASK_FIRST,
    FORMED_HOT,
    THE_REST,
    date,
    kind,
    price_words,
)
from mountwright.packet.words import (
    NO_SPREAD,
    Units,
    billed,
    chance,
    dated,
    day,
    promised,
    sentence,
    stopped,
)
from mountwright.workbook.lines import Lines

Fields = dict[str, Any]

NOT_OUT = "Not to be handed out"

SAMPLED = "Not yours yet: invented values of the sample stand on"

INVENTED = "Invented sample data: not an offer."


def quote(lines: Lines, plan: Fields) -> None:
    """Write the sheet for the customer; nothing of the shop's own sums."""
    found = plan["quote"]
    if not found:
        lines.note(
            "Nothing is quoted, because nothing is planned: see the sheet Checks.", warn=True
        )
        return
    money = money_form(plan)
    if fails := stopped(plan):
        lines.note(f"Draft. {NOT_OUT}: {'; '.join(fails)}.", alarm=True)
        lines.note("Why, and what would mend it: sheet Checks.", warn=True)
    if plan["job"]["invented"] or plan["shop"]["invented"]:
        lines.note(INVENTED, warn=True)
    lines.fact("From", found["shop"])
    lines.fact("Number", found["number"])
    lines.fact("For", found["customer"])
    alike = f", {found['sets']} alike" if found["sets"] > 1 else ""
    lines.fact("Vehicle", found["vehicle"] + alike)
    lines.fact("Date", date(found["date"]))
    if not fails:
        lines.fact("Stands until", date(found["valid_until"]))
    lines.heading("What is done")
    for work in found["work"]:
        lines.note(work)
    named = kind(plan)
    lines.heading("What it costs")
    currency = found["currency"]
    lines.head(
        "For", f"net [{currency}]", f"tax [{currency}]", f"to pay [{currency}]", right=(2, 3, 4)
    )
    forms = {2: money, 3: money, 4: money}
    for line in found["lines"]:
        net, tax = float(line["net"]), float(line["tax"])
        both = round(net + tax, plan["price"]["minor_digits"])
        lines.line(line["name"], net, tax, both, forms=forms)
    # The core hands money on as decimal text.
    total = [float(found[key]) for key in ("net", "tax", "gross")]
    total_name = "Fixed price" if named == "Quote" else named
    lines.line(total_name, *total, forms=forms, bold=True)
    lines.note(sentence(found["words"]))
    if not fails:
        lines.note(price_words(plan), warn=named == "Draft")
    if found["deposit"] and not fails:
        deposit = f"{found['deposit']} {currency}"
        lines.note(f"To be paid when the work is ordered: {deposit}; {THE_REST}.")
    if found["breaks"]:
        lines.heading("Several vehicles alike, made in one batch")
        lines.head("For", f"net, all [{currency}]", f"net, each [{currency}]", right=(2, 3))
        for row in found["breaks"]:
            net, each = float(row["net"]), float(row["each_net"])
            vehicles = "1 vehicle" if row["sets"] == 1 else f"{row['sets']} vehicles"
            lines.line(vehicles, net, each, forms={2: money, 3: money})
    lines.heading("When")
    if plan["promise"]:
        ready, sure = promised(plan["promise"])
        lines.fact("Handed back by", ready)
        lines.fact("If the work begins on", day(plan["job"]["start"]))
        lines.note(sentence(sure))
    for visit in (plan["promise"] or {"visits": []})["visits"]:
        lines.fact(f"With us for {visit['what']}", f"{day(visit['from'])} to {day(visit['to'])}")
    for text in for_the_customer(plan):
        lines.note(text)
    for heading, texts in (
        ("What the price rests on", found["assumptions"]),
        ("Not in the price", found["exclusions"]),
    ):
        lines.heading(heading)
        for text in texts:
            lines.note(sentence(text))
    if not fails:
        lines.row += 1
        lines.note(ASK_FIRST)
        if any(part["recipe"] for part in plan["parts"]):
            lines.note(FORMED_HOT)
        lines.row += 1
        lines.head("Accepted on", "Name")
        lines.line("", "")


def costs(lines: Lines, plan: Fields) -> None:
    """Write the shop's own sums, with their ranges and what they come from."""
    price, estimate = plan["price"], plan["estimate"]
    if not price or not estimate:
        lines.note("Nothing is planned: see the sheet Checks.", warn=True)
        return
    money, currency = money_form(plan), price["currency"]
    lines.note("For the shop alone: the customer sees the sheet Quote.", warn=True)
    if not plan["draws"]:
        lines.note(NO_SPREAD, warn=True)
    lines.heading("What the job costs the shop")
    lines.head(
        "Line",
        "group",
        "amount",
        "unit",
        f"rate [{currency}]",
        f"cost [{currency}]",
        right=(3, 5, 6),
    )
    # A rate may be less than a coin.
    rate = money if "." in money else f"{money}.00"
    forms = {3: "0.###", 5: rate, 6: money}
    units: Units = plan["job"].get("units", "metric")
    for line in estimate["lines"]:
        amount, unit, each = billed(line, units)
        lines.line(line["name"], line["group"], amount, unit, each, line["cost"], forms=forms)
    cost = estimate["cost"]
    lines.line("Sum of the likeliest", "", "", "", "", cost["nominal"], forms=forms, bold=True)
    lines.line("Allowance for what goes wrong", "", "", "", "", estimate["allowance"], forms=forms)
    if cost["p10"] is not None:
        for name, key in (
            ("One job in ten costs less than", "p10"),
            ("Half of all cost less than", "p50"),
            ("Nine in ten cost less than", "p90"),
        ):
            lines.line(name, "", "", "", "", cost[key], forms=forms)
    lines.note(labour(plan))
    lines.heading("What is asked for it")
    for name, value in _makes_net(plan):
        lines.line(name, "", "", "", "", value, forms=forms)
    for name, key in (("Net", "net"), ("Tax", "tax"), ("With tax", "gross")):
        lines.line(name, "", "", "", "", float(price[key]), forms=forms, bold=key == "gross")
    lines.note(sentence(price["words"]))
    if price["chance_of_loss"] is not None:
        lines.fact("Chance of a loss", chance(price["chance_of_loss"], plan["draws"]))
    if price["if_template_lost"]:
        lines.fact("If a template is lost", float(price["if_template_lost"]), money)
    if plan["sampled"]:
        lines.heading("Not yours: what stands as the invented sample has it")
        lines.note("Type your own on these sheets before anything is offered.", warn=True)
        for sheet, values in plan["sampled"].items():
            lines.note(f"{sheet}: {'; '.join(values)}.", warn=True)
    if told := taken.words(plan):
        lines.heading("What was taken because nobody said it")
        for text in told:
            lines.note(text)
    if plan["causes"]:
        lines.heading("What the range comes from")
        lines.head(
            "Cause", "of the cost's variance [%]", "of the time's variance [%]", right=(2, 3)
        )
        for cause in plan["causes"]:
            shares = cause["share_of_cost_spread"], cause["share_of_time_spread"]
            lines.line(cause["input"], *shares, forms={2: "0%", 3: "0%"})


def _makes_net(plan: Fields) -> list[tuple[str, float]]:
    """Tell what the net price is made of: cost, fees and what is left, which add up to it."""
    price, estimate = plan["price"], plan["estimate"]
    if price["margin_fraction"] is None:
        return []
    digits, net = price["minor_digits"], float(price["net"])
    cost = round(estimate["cost"]["nominal"] + estimate["allowance"], digits)
    fees = round(net * (1 - price["margin_fraction"]) - cost, digits)
    # Both ends were rounded: what is less than two coins is no fee.
    fees = fees if fees > 2 / 10**digits else 0.0
    left = round(net - cost - fees, digits)
    return [
        ("Cost that the price is made of, with its allowance", cost),
        *([("Fees that are paid from the price", fees)] if fees else []),
        (f"What is left to the shop, {left / net:.1%} of the net".replace("%", " %"), left),
    ]


def checks(lines: Lines, plan: Fields) -> None:
    """Write what is refused, what fails, what was changed, what can hurt."""
    for refusal in plan["refused"]:
        lines.heading(f"Not planned: {', '.join(refusal['parts'])} ({refusal['place']})")
        lines.note(sentence(refusal["why"]), warn=True)
        lines.note(f"Find out: {'; '.join(refusal['find_out'])}.")
        if refusal["consider_instead"]:
            lines.note(f"Consider instead: {'; '.join(refusal['consider_instead'])}.")
    found = [(part["name"], check) for part in plan["parts"] for check in part["checks"]]
    if found:
        lines.heading("Checks of the finished mounts")
        lines.head("Part", "verdict", "check", "why", "what would mend it")
        order = ("fail", "marginal", "pass")
        for part, check in sorted(found, key=lambda one: order.index(one[1]["verdict"])):
            verdict = VERDICTS[check["verdict"]]
            why, mend = sentence(check["why"]), sentence(check["mend"] or "")
            lines.line(part, verdict, check["name"], why, mend)
    lines.heading("Cautions")
    lines.note(
        "A plan is not an approval. Local codes, the vehicle maker's instructions, the data sheet "
        "of the sheet and licensed practice come first.",
        warn=True,
    )
    for caution in plan["cautions"]:
        lines.note(caution)
    remarks = [f"{c['what']}: {c['why']}" for c in plan["changes"]]
    remarks += [f"{n['about']}: {n['text']}" for n in plan["notes"]]
    if remarks:
        lines.heading("Changes and remarks")
        for remark in remarks:
            lines.note(sentence(dated(remark)))


def money_form(plan: Fields) -> str:
    """Give the number format of money, with as many digits as its coins have."""
    digits = (plan["price"] or {"minor_digits": 2})["minor_digits"]
    return "#,##0" + (f".{'0' * digits}" if digits else "")
