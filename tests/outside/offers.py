"""Offers as `buy --json` compares them, reckoned anew from the job and the chances in the document.

Outside sources: the rules of docs/buying.md, whose tables name where each comes from (sellers'
pages; common practice where no source was found), the plain expected value of a purchase that
may fall short, and decimals by ISO 4217. The arithmetic is Python's: fractions, rounded once for
each line as the rules say. Areas of the stamps by the definitions of the foot (0.3048 m) and of
the quarter notation. The chances themselves are the program's own.
"""
import copy
import json
import math
import pathlib
import random
import sys
from fractions import Fraction

from program import ROOT, Checks, ask

PROGRAM = str(pathlib.Path(sys.argv[1]).resolve())
FT2 = Fraction(9290304, 100)  # mm²
MATCH = {"held": Fraction(1), "likely": Fraction(8, 10), "unknown": Fraction(5, 10),
         "unlikely": Fraction(2, 10)}
DECIMALS = {"USD": 2, "EUR": 2, "GBP": 2, "JPY": 0, "KWD": 3}


def exact(value):
    return Fraction(str(value))


def half_away(value):
    """Rounded to a whole number, halves away from zero."""
    return int(math.floor(abs(value) + Fraction(1, 2))) * (1 if value >= 0 else -1)


class Shop:
    """The offers of a job, in minor units and mm²."""

    def __init__(self, job):
        self.units = job["units"]
        self.minor = 10 ** DECIMALS[job["currency"]]
        leather = job.get("leather", {})
        self.thickness = self.leather_mm(leather.get("thickness", "1.1 mm"))
        self.kind = leather.get("kind")
        self.offers = {o["name"]: o for o in job["offers"]}
        self.listed = list(self.offers)

    def number(self, text):
        whole = Fraction(0)
        for part in str(text).split():
            whole += Fraction(part)
        return whole

    def leather_mm(self, value):
        text = str(value)
        if text.endswith("mm"):
            return exact(text[:-2].strip())
        # 1 oz is 1/64 in.
        return self.number(text) * (Fraction(254, 640) if self.units == "in" else 1)

    def length_mm(self, value):
        return self.number(value) * (Fraction(254, 10) if self.units == "in" else 1)

    def area_mm2(self, value):
        return self.number(value) * (FT2 if self.units == "in" else 10 ** 6)

    def money(self, value):
        return half_away(exact(value) * self.minor)

    def piece_mm2(self, offer, index, case):
        if offer["form"] == "panel":
            return self.length_mm(offer["length"]) * self.length_mm(offer["width"])
        if "pieces" in offer:
            piece = offer["pieces"][index]
            if "stamp" in piece:
                whole, quarters = str(piece["stamp"]).split(".")
                return (int(whole) + Fraction(int(quarters), 4)) * FT2
            return self.area_mm2(piece["stamped_area"])
        area = offer["area"]
        if isinstance(area, str):
            low, high = (self.area_mm2(part) for part in area.split("-"))
        elif isinstance(area, dict):
            low, high = self.area_mm2(area["low"]), self.area_mm2(area["high"])
        else:
            low = high = self.area_mm2(area)
        return {"low": low, "high": high, "expected": (low + high) / 2}[case]

    def bill(self, offer, count, chosen, case):
        """Each line by the table `The lines of a bill`."""
        pieces = [self.piece_mm2(offer, chosen[i] if chosen else None, case) for i in range(count)]
        quarters = sum(math.floor(p / (FT2 / 4) + Fraction(1, 2)) for p in pieces)
        square_dm = sum(math.floor(p / 10 ** 4 + Fraction(1, 2)) for p in pieces)
        price = self.money(offer["price"])
        goods = {"ft2": half_away(Fraction(price * quarters, 4)),
                 "m2": half_away(Fraction(price * square_dm, 100)),
                 "piece": price * count}[offer["per"]]
        lines = {"leather": goods,
                 "up to the least order": max(0, self.money(offer.get("minimum_goods", 0)) - goods),
                 "cutting": self.money(offer.get("cut_fee", 0)) * count}
        asked = sum(lines.values())
        thickness = self.leather_mm(offer["thickness"]) if "thickness" in offer else self.thickness
        kilograms = sum(pieces) * thickness * Fraction(9, 10 ** 7)
        ship = offer.get("shipping", {})
        lines["shipping"] = (self.money(ship.get("flat", 0))
                             + self.money(ship.get("per_kg", 0)) * math.ceil(kilograms)
                             + half_away(Fraction(self.money(ship.get("per_ft2", 0)) * quarters, 4))
                             + half_away(Fraction(self.money(ship.get("per_m2", 0)) * square_dm, 100)))
        on_shipping = offer.get("duty_on") == "goods and shipping"
        lines["duty"] = half_away(exact(offer.get("duty", 0))
                                  * (asked + (lines["shipping"] if on_shipping else 0)))
        on_all = offer.get("tax_on", "everything") == "everything"
        lines["tax"] = half_away(exact(offer.get("tax", 0))
                                 * (asked + (lines["shipping"] + lines["duty"] if on_all else 0)))
        trip = offer.get("trip", {})
        lines["travel"] = (half_away(self.money(trip.get("per_distance", 0))
                                     * exact(trip.get("distance", 0)))
                           + self.money(trip.get("fare", 0)))
        lines["hours"] = half_away(self.money(trip.get("per_hour", 0)) * exact(trip.get("hours", 0)))
        return {name: amount for name, amount in lines.items() if amount}

    def total(self, offer, bought, case="expected"):
        return sum(self.bill(offer, bought["pieces"], bought.get("chosen"), case).values())

    def refund(self, offer, bought):
        back = offer.get("returns", {})
        if not back.get("taken"):
            return 0
        goods = self.bill(offer, bought["pieces"], bought.get("chosen"), "expected").get("leather", 0)
        kept = half_away(exact(back.get("kept_share", 0)) * goods)
        with_tax = goods - kept + half_away(exact(offer.get("tax", 0)) * (goods - kept))
        return max(0, with_tax - self.money(back.get("shipping", 0)))

    def when_short(self, offer, way, anew):
        """s(n) of docs/buying.md, from behind the last further order on."""
        chances = [Fraction(way["chance"])] + [Fraction(f["chance"]) for f in way["further"]]
        match = MATCH[offer.get("lot_match", "unknown")]
        lost = anew - self.refund(offer, way)
        after = Fraction(anew)
        for n in range(len(way["further"]) - 1, -1, -1):
            short = 1 - chances[n]
            still = min(Fraction(1), max(Fraction(0), (1 - chances[n + 1]) / short)) if short else 0
            second = self.total(offer, way["further"][n])
            after = match * (second + still * after) + (1 - match) * lost
        return after if way["further"] else Fraction(lost)

    def rank(self, ways, comfort):
        """Names, best first, with the way that each is bought in and what it costs."""
        everything = [(self.total(self.offers[name], way), way["chance"] >= comfort)
                      for name, own in ways.items() for way in own]
        reaching = [total for total, reaches in everything if reaches]
        rows = []
        for name in self.listed:
            offer = self.offers[name]
            best = None
            for way in ways.get(name, []):
                landed = self.total(offer, way)
                anew = min(reaching) if reaching else landed
                extra = self.when_short(offer, way, anew)
                cost = landed + half_away((1 - Fraction(way["chance"])) * extra)
                if best is None or cost < best["cost"]:
                    best = {"name": name, "way": way, "cost": cost, "landed": landed,
                            "extra": extra, "anew": anew}
            if best:
                other = bool(self.kind and offer.get("kind") and offer["kind"] != self.kind)
                best["key"] = (best["way"]["chance"] < comfort, other, best["cost"])
                rows.append(best)
        return sorted(rows, key=lambda row: row["key"])  # stable: else as listed

    def wins_at(self, name, price, ways, comfort):
        """Whether it is first at a price in minor units."""
        asked = self.offers[name]["price"]
        self.offers[name] = {**self.offers[name], "price": float(Fraction(price, self.minor))}
        first = self.rank(ways, comfort)[0]["name"]
        self.offers[name] = {**self.offers[name], "price": asked}
        return first == name


def same_purchase(a, b):
    return a["pieces"] == b["pieces"] and a.get("chosen") == b.get("chosen")


def check_bills(checks, label, shop, offer, told):
    for case in ("low", "expected", "high"):
        bill = shop.bill(offer, told["pieces"], told.get("chosen"), case)
        lines = {name: half_away(exact(v) * shop.minor)
                 for name, v in told["bill"][case]["lines"].items()}
        checks.that(lines == bill, f"{label}: {case} bill, {sum(bill.values())}")
        checks.that(half_away(exact(told["bill"][case]["total"]) * shop.minor) == sum(bill.values()),
                    f"{label}: its sum")


def check_offer(checks, label, shop, told, row):
    offer = shop.offers[told["offer"]]

    def minor(value):
        return half_away(exact(value) * shop.minor)

    check_bills(checks, label, shop, offer, told)
    checks.that(same_purchase(row["way"], told), f"{label}: bought in the way that costs least")
    short = told["if_short"]
    checks.that(minor(short["anew"]) == row["anew"], f"{label}: anew {row['anew']}")
    checks.that(minor(short["refund"]) == shop.refund(offer, told), f"{label}: refund")
    checks.that(abs(minor(short["on_average"]) - row["extra"]) <= 1, f"{label}: falling short")
    # Python's fractions round where the program's doubles may fall on the other side.
    checks.that(abs(minor(told["expected_cost"]) - row["cost"]) <= 1,
                f"{label}: expected cost {row['cost']}")
    sure = told["sure"]
    ends = sorted(row["landed"] + (1 - Fraction(sure[end])) * row["extra"]
                  for end in ("chance_low", "chance_high"))
    checks.that(abs(minor(sure["expected_cost_low"]) - ends[0]) <= 1
                and abs(minor(sure["expected_cost_high"]) - ends[1]) <= 1, f"{label}: its interval")
    checks.that(sure["chance_low"] <= told["chance"] <= sure["chance_high"],
                f"{label}: the chance lies in its interval")
    chances = [told["chance"]] + [f["chance"] for way in told["ways"] if same_purchase(way, told)
                                  for f in way["further"]]
    checks.that(chances == sorted(chances), f"{label}: further orders never lessen the chance")


def check_price(checks, label, shop, told, ways, comfort):
    if told["price_to_win"] is None:
        return
    price = half_away(exact(told["price_to_win"]) * shop.minor)
    if price > 0:
        # At the border the expected costs may be alike to less than the program's rounding.
        near = [shop.wins_at(told["offer"], p, ways, comfort) for p in (price - 1, price + 2)]
        checks.that((price == 1 or near[0]) and not near[1], f"{label}: first up to {price}")
    else:
        checks.that(not shop.wins_at(told["offer"], 1, ways, comfort), f"{label}: first at no price")


def check_job(checks, name, job, *words):
    answer = ask(PROGRAM, "buy", *words, job=job)["offers"]
    shop = Shop(copy.deepcopy(job))
    ways = {o["offer"]: o["ways"] for o in answer["ranking"]}
    rows = shop.rank(ways, answer["comfort"])
    told = answer["ranking"]
    costs = {row["name"]: row["key"] for row in rows}
    keys = [costs[o["offer"]] for o in told]
    checks.that(len(rows) == len(told)
                and all(a[:2] < b[:2] or (a[:2] == b[:2] and a[2] <= b[2] + 1)
                        for a, b in zip(keys, keys[1:])), f"{name}: best first")
    checks.that(len(told) + len(answer["untried"]) + len(answer["impossible"]) == len(job["offers"]),
                f"{name}: no offer is lost")
    for offer in told:
        row = next(r for r in rows if r["name"] == offer["offer"])
        check_offer(checks, f"{name}, {offer['offer']}", shop, offer, row)
        check_price(checks, f"{name}, {offer['offer']}", shop, offer, ways, answer["comfort"])
    return answer


def check_panels(checks, job, answer):
    """As many panels as it says on the table: `lay` finds a place for every cover. Returns how many
    offers were looked at."""
    looked = 0
    for told in answer["ranking"]:
        offer = next(o for o in job["offers"] if o["name"] == told["offer"])
        if offer["form"] != "panel" or told["chance"] < 1:
            continue
        table = [{"name": f"panel {i}", "form": "panel", "length": offer["length"],
                  "width": offer["width"]} for i in range(told["pieces"])]
        plan = ask(PROGRAM, "lay", job={**job, "hides": table})
        checks.that(not plan["unplaced"], f"{told['offer']}: all covers on {told['pieces']} panels")
        looked += 1
    return looked


def some_offer(draw, number):
    """A random offer of a stool whose covers any whole hide holds."""
    form = draw.choice(["whole", "side", "panel"])
    offer = {"name": f"offer {number}", "form": form,
             "price": round(draw.uniform(3, 15), 2), "per": draw.choice(["ft2", "m2", "piece"]),
             "lot_match": draw.choice(list(MATCH)),
             "tax": draw.choice([0, 0.07, 0.19, 0.2]), "days": draw.randrange(60)}
    offer["price"] = round(offer["price"] * {"ft2": 1, "m2": 11, "piece": 40}[offer["per"]], 2)
    low = round(draw.uniform(12, 26) * (1 if form == "side" else 2), 2)
    if form == "panel":
        offer.update(length=draw.randrange(20, 40), width=draw.randrange(20, 60))
    elif draw.random() < 0.5:
        offer["area"] = {"low": low, "high": round(low * draw.uniform(1, 1.2), 2)}
    else:
        offer["pieces"] = [{"stamp": f"{draw.randrange(12, 40)}.{draw.randrange(4)}"}
                           for _ in range(draw.randrange(1, 6))]
    for key, value in (("minimum_goods", 180), ("cut_fee", 3.35), ("thickness", "1.4 mm"),
                       ("kind", draw.choice(["aniline", "pigmented"])), ("duty", 0.037)):
        if draw.random() < 0.4:
            offer[key] = value
    if "duty" in offer:
        offer["duty_on"] = draw.choice(["goods", "goods and shipping"])
    offer["tax_on"] = draw.choice(["everything", "goods"])
    offer["shipping"] = {key: round(draw.uniform(0, most), 2)
                         for key, most in (("flat", 30), ("per_kg", 4), ("per_ft2", 1), ("per_m2", 9))
                         if draw.random() < 0.4}
    if draw.random() < 0.5:
        offer["trip"] = {"distance": 12.5, "per_distance": 0.43, "fare": 4.2, "hours": 1.25,
                         "per_hour": 17.35}
    if draw.random() < 0.5:
        offer["returns"] = {"taken": True, "kept_share": 0.125, "shipping": 7.45}
    return offer


def random_job(seed):
    draw = random.Random(seed)
    return {"seatwright": 1, "name": f"random {seed}", "units": "in", "currency": "EUR",
            "leather": {"kind": "aniline", "thickness": "2 1/2",
                        "comfort": draw.choice([0.6, 0.8, 0.95])},
            "seats": [{"name": "stool", "count": draw.randrange(1, 4),
                       "frame": {"shape": "round", "diameter": draw.randrange(10, 17)},
                       "board": {"thickness": "1/2"}, "padding": {"edge": 1}}],
            "offers": [some_offer(draw, i) for i in range(draw.randrange(2, 6))],
            "search": {"seed": seed}}


def main():
    checks = Checks()
    panels = 0
    for name, form in (("rowing-club", "whole"), ("mill-kitchen", "side")):
        job = json.loads((ROOT / "examples" / f"{name}.json").read_text(encoding="utf-8"))
        answer = check_job(checks, name, job, "--form", form, "--pieces", "1", "--trials", "6")
        panels += check_panels(checks, job, answer)
    jobs = int(sys.argv[2]) if len(sys.argv) > 2 else 3
    first = int(sys.argv[3]) if len(sys.argv) > 3 else 1
    for seed in range(first, first + jobs):
        job = random_job(seed)
        answer = check_job(checks, job["name"], job, "--form", "side", "--pieces", "1", "--trials",
                           "6")
        panels += check_panels(checks, job, answer)
    checks.that(panels > 0, f"{panels} offers of panels were laid")
    checks.end()


main()
