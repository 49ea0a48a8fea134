"""The record types: every field that is kept, written once.

The server checks what comes in against these, the phone gets the same as data
(``web/js/records/schema.js`` is generated from here; a test fails when it is stale), so
what a phone accepts the server accepts. Types, fields and choices are only ever added and
limits only ever widened: phones that are weeks old must stay right.

A field belongs to a *group*, which has one stamp: values that make sense only together
(a sale's price and fee) merge together. A field named in no group is a group of its own.
A *quiet* group is one where the loser of a merge goes to the history only; every other
conflict stands under "needs settling".
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

MONEY_MAX = 10**11
"""The largest amount in minor units that a field takes; far below 2**53."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a record type.

    ``type`` is one of ``FIELD_TYPES``. ``min`` and ``max`` bound integers and money, or the
    length in characters of texts and the number of entries of lists. ``ref`` names the record
    type that an id points to (the record pointed to may be unknown yet: phones come late).
    """

    name: str
    type: str
    group: str = ""
    required: bool = False
    quiet: bool = False
    min: int | None = None
    max: int | None = None
    choices: tuple[str, ...] = ()
    ref: str = ""

    @property
    def stamp_group(self) -> str:
        """The name under which the stamp of this field is kept."""
        return self.group or self.name


@dataclass(frozen=True, slots=True)
class RecordType:
    """A kind of record: its name, what it is in one line, and its fields."""

    name: str
    meaning: str
    fields: tuple[Field, ...] = field(default=())


FIELD_TYPES = {
    "text": "text of at most `max` characters, no NUL, no lone surrogate",
    "slug": "a short lower-case name: letters, digits, hyphens; 1 to 40 characters",
    "int": "a whole number from `min` to `max`",
    "money": "a whole number of minor units from `min` to `max`",
    "bool": "true or false",
    "instant": "a moment in UTC as 2026-05-01T14:03:00.000Z",
    "date": "a calendar day in the household's own time zone as 2026-05-01",
    "id": "the id (UUID, lower case) of a record",
    "ids": "a list of at most `max` ids",
    "slugs": "a list of at most `max` slugs, each once",
    "choice": "one of `choices`",
    "sha256": "64 lower-case hexadecimal digits",
    "code": "a tag code with its check symbol, upper case, no hyphens",
    "object": "a JSON object of at most `max` characters when written out",
}


def _text(name: str, max: int = 200, **kw: Any) -> Field:
    return Field(name, "text", max=max, **kw)


def _money(name: str, min: int = 0, **kw: Any) -> Field:
    return Field(name, "money", min=min, max=MONEY_MAX, **kw)


def _int(name: str, min: int, max: int, **kw: Any) -> Field:
    return Field(name, "int", min=min, max=max, **kw)


def _id(name: str, ref: str, **kw: Any) -> Field:
    return Field(name, "id", ref=ref, **kw)


def _instant(name: str, **kw: Any) -> Field:
    return Field(name, "instant", **kw)


def _date(name: str, **kw: Any) -> Field:
    return Field(name, "date", **kw)


def _choice(name: str, *choices: str, **kw: Any) -> Field:
    return Field(name, "choice", choices=choices, **kw)


def _happened(**kw: Any) -> tuple[Field, Field]:
    """A fact's moment in UTC and its day in the household's time zone, stamped together."""
    return (
        _instant("at", group="when", required=True, **kw),
        _date("on", group="when", required=True, **kw),
    )


SURENESS = ("sure", "fair", "guess")
GRADES = {"min": 1, "max": 5}
TRAIT_GROUPS = ("material", "feature", "style", "colour", "maker")
HANDOVERS = ("pickup", "delivery", "shipped")
EXPENSE_CATEGORIES = (
    "supplies", "tools", "fees", "advertising", "storage", "vehicle_hire", "helper", "fuel",
    "parking", "phone", "other",
)  # fmt: skip

RECORD_TYPES: tuple[RecordType, ...] = (
    RecordType("setting", "the household's own numbers and habits; one record, id = household id", (
        _text("household_name", 80),
        _text("time_zone", 60),
        _choice("units", "us", "metric"),
        _money("note_step"),
        _money("wage_per_hour", group="money"),
        _money("min_profit", group="money"),
        _int("fee_ppm", 0, 1_000_000, group="money"),
        _money("fee_fixed", group="money"),
        _money("delivery_cost", group="money"),
        _money("hold_per_day", group="money"),
        _int("salvage_ppm", 0, 1_000_000, group="money"),
        _int("tolerance_ppm", 0, 1_000_000, group="money"),
        _money("per_mile", group="money"),
        _choice("wage_covers", "bench", "everything", group="money"),
        _text("goal_name", 80, group="goal"),
        _money("goal_amount", group="goal"),
        _money("cash_start", min=-MONEY_MAX, group="opening"),
        _date("opened_on", group="opening"),
        _int("load_litres", 0, 100_000, group="car"),
        _int("car_length_mm", 1, 20_000, group="car_size"),
        _int("car_width_mm", 1, 20_000, group="car_size"),
        _int("car_height_mm", 1, 20_000, group="car_size"),
        _int("car_opening_width_mm", 1, 20_000, group="car_size"),
        _int("car_opening_height_mm", 1, 20_000, group="car_size"),
        _choice("hand", "right", "left", quiet=True),
        _text("pickup_note", 500),
        _instant("set_up_at"),
    )),
    RecordType("kind", "a kind of furniture, with what the person expects of one such piece", (
        Field("slug", "slug", required=True),
        _text("name", 60, required=True),
        _money("typical_price", group="typical"),
        _choice("sureness", *SURENESS, group="typical"),
        _int("typical_days", 1, 1000, group="typical"),
        _int("typical_litres", 0, 100_000),
        Field("care", "slugs", max=12),
        _int("sort", 0, 100_000, quiet=True),
    )),
    RecordType("trait", "something that may move a piece's price: wood, feature, style, maker", (
        Field("slug", "slug", required=True),
        _text("name", 60, required=True),
        _choice("trait_group", *TRAIT_GROUPS, required=True),
        _int("sort", 0, 100_000, quiet=True),
    )),
    RecordType("step", "a kind of work with usual minutes and supplies per unit", (
        Field("slug", "slug", required=True),
        _text("name", 60, required=True),
        _text("unit", 30),
        _int("typical_minutes", 0, 10_000, group="typical"),
        _money("supplies_cost", group="typical"),
        Field("standing", "bool"),
        Field("care", "slugs", max=12),
        _int("sort", 0, 100_000, quiet=True),
    )),
    RecordType("spot", "a place where pieces stand", (
        _text("name", 60, required=True),
        _int("litres", 0, 10_000_000),
        _text("note", 500),
        _int("sort", 0, 100_000, quiet=True),
    )),
    RecordType("outing", "a buying trip", (
        *_happened(),
        _text("name", 80),
        _instant("ended_at"),
        _money("cash", group="cash"),
        _int("minutes_limit", 0, 100_000),
        _int("distance_m", 0, 10_000_000, group="miles"),
        _int("odometer_start_m", 0, 10**10, group="miles"),
        _int("odometer_end_m", 0, 10**10, group="miles"),
        _text("destination", 200, group="miles"),
        _text("purpose", 200, group="miles"),
        _text("note", 2000),
    )),
    RecordType("stop", "one sale visited on an outing", (
        *_happened(),
        _id("outing_id", "outing"),
        _text("name", 120),
        _text("place", 300),
        _int("latitude_udeg", -90_000_000, 90_000_000, group="position"),
        _int("longitude_udeg", -180_000_000, 180_000_000, group="position"),
        _instant("closes_at"),
        _text("note", 2000),
    )),
    RecordType("piece", "one item or matched set, from first sight to gone", (
        *_happened(),
        Field("kind", "slug"),
        _text("title", 120),
        _int("count", 1, 500),
        Field("traits", "slugs", max=30),
        _int("found_grade", **GRADES),
        _int("finished_grade", **GRADES),
        Field("flaws", "slugs", max=30),
        _text("note", 4000),
        _id("outing_id", "outing"),
        _id("stop_id", "stop"),
        _money("ask"),
        _money("likely", group="estimate"),
        _money("low", group="estimate"),
        _money("high", group="estimate"),
        _int("typed_minutes", 0, 100_000, group="typed_effort"),
        _money("typed_supplies", group="typed_effort"),
        _instant("passed_at", group="decision"),
        _instant("later_at", group="decision"),
        _id("purchase_id", "purchase", group="purchase"),
        _int("share_weight", 0, 10**9, group="purchase"),
        _date("opening_on", group="opening"),
        _money("opening_cost", group="opening"),
        _instant("ready_at"),
        _instant("unlisted_at"),
        _instant("kept_at", group="ending"),
        _instant("let_go_at", group="ending"),
        _choice("let_go_how", "given", "dumped", "parts", "lost", group="ending"),
        _id("spot_id", "spot", quiet=True),
        _int("width_mm", 0, 20_000, group="size"),
        _int("depth_mm", 0, 20_000, group="size"),
        _int("height_mm", 0, 20_000, group="size"),
        Field("travels_upright", "bool"),
        _int("weight_g", 0, 2_000_000),
        _int("litres", 0, 100_000),
        Field("checked", "slugs", max=30),
        _date("recalls_checked_on"),
        _text("listing_text", 8000),
        _text("listed_where", 300),
    )),
    RecordType("purchase", "money paid for one or several pieces at once", (
        *_happened(),
        _money("total", group="paid", required=True),
        _money("extra_costs", group="paid"),
        _money("ask", group="paid"),
        _text("payer", 60, group="paid"),
        _id("outing_id", "outing"),
        _id("stop_id", "stop"),
        _instant("fetch_by", group="fetch"),
        _text("fetch_where", 300, group="fetch"),
        _instant("fetched_at", group="fetch"),
        _text("note", 2000),
    )),
    RecordType("piece_step", "a step chosen for a piece, done or to be done", (
        _id("piece_id", "piece", required=True),
        Field("step", "slug", required=True),
        _int("units", 1, 1000),
        _instant("done_at"),
        _int("sort", 0, 100_000, quiet=True),
    )),
    RecordType("stint", "a timed stretch of work on one or several pieces", (
        Field("piece_ids", "ids", max=50, required=True),
        Field("step", "slug"),
        _int("units", 1, 1000),
        _instant("started_at", group="start", required=True),
        _date("on", group="start", required=True),
        _instant("stopped_at", group="stop"),
        _int("minutes", 0, 10_000, group="stop"),
        _text("who", 60),
        _text("note", 2000),
    )),
    RecordType("supply", "a consumable bought and used up", (
        _text("name", 80, required=True),
        _text("unit", 30),
        _money("cost", group="cost"),
        _int("milliunits", 1, 10**9, group="cost"),
        _text("note", 500),
    )),
    RecordType("supply_use", "supplies used up on a piece", (
        *_happened(),
        _id("piece_id", "piece"),
        _id("supply_id", "supply"),
        _int("milliunits", 0, 10**9, group="used"),
        _money("cost", group="used"),
    )),
    RecordType("tag", "a label's code bound to a piece", (
        Field("code", "code", required=True),
        _id("piece_id", "piece"),
        _instant("bound_at"),
    )),
    RecordType("asking_price", "what we list a piece at from a day on, or plan to", (
        _id("piece_id", "piece", required=True),
        _money("amount", required=True),
        _instant("at", group="when", required=True),
        _date("from_on", group="when", required=True),
        Field("planned", "bool"),
    )),
    RecordType("inquiry", "somebody asked about a piece", (
        *_happened(),
        _id("piece_id", "piece"),
        _text("name", 80),
        _text("contact", 200),
        _text("note", 2000),
        _instant("closed_at"),
    )),
    RecordType("want", "somebody wants something we don't have yet", (
        *_happened(),
        Field("kind", "slug"),
        Field("traits", "slugs", max=30),
        _money("limit"),
        _text("name", 80),
        _text("contact", 200),
        _text("note", 2000),
        _date("until_on"),
        _instant("met_at"),
    )),
    RecordType("offer", "an amount a buyer named for a piece", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        _id("inquiry_id", "inquiry"),
        _money("amount", required=True),
        _choice("answer", "taken", "countered", "declined", group="answer"),
        _money("counter", group="answer"),
        _text("note", 2000),
    )),
    RecordType("hold", "a piece promised to a buyer until a time", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        _instant("until_at", required=True),
        _id("inquiry_id", "inquiry"),
        _text("name", 80),
        _text("terms", 500),
        _instant("released_at"),
    )),
    RecordType("payment", "money from a buyer before or after the hand-over", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        _id("sale_id", "sale"),
        _money("amount", required=True),
        _text("note", 500),
    )),
    RecordType("sale", "a piece sold", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        _money("price", group="money", required=True),
        _money("fee", group="money"),
        _money("delivery_charged", group="money"),
        _text("buyer", 80),
        _choice("handover", *HANDOVERS, group="handover"),
        _instant("handed_over_at", group="handover"),
        _text("receipt", 20),
        _text("note", 2000),
    )),
    RecordType("return", "a sold piece that came back, or money given back", (
        *_happened(),
        _id("sale_id", "sale", required=True),
        _money("refund", group="money", required=True),
        _money("fee_back", group="money"),
        Field("back_in_stock", "bool", group="money", required=True),
        _text("note", 2000),
    )),
    RecordType("delivery", "a drive to bring or fetch a piece", (
        *_happened(),
        _id("piece_id", "piece"),
        _int("distance_m", 0, 10_000_000, group="miles"),
        _text("destination", 200, group="miles"),
        _text("purpose", 200, group="miles"),
        _int("minutes", 0, 10_000),
        _text("note", 500),
    )),
    RecordType("expense", "money spent that is not a purchase of a piece", (
        *_happened(),
        _money("amount", group="money", required=True),
        _choice("category", *EXPENSE_CATEGORIES, group="money", required=True),
        _text("payer", 60),
        _id("piece_id", "piece"),
        _id("supply_id", "supply"),
        _id("photo_id", "photo"),
        _text("note", 500),
    )),
    RecordType("cash_move", "cash put in or taken out, apart from buying and selling", (
        *_happened(),
        _money("amount", min=-MONEY_MAX, required=True),
        _text("note", 500),
    )),
    RecordType("photo", "a picture of a piece, named by the SHA-256 of its bytes", (
        _instant("at", required=True),
        _id("piece_id", "piece"),
        Field("sha256", "sha256", group="content", required=True),
        _int("width", 1, 20_000, group="content"),
        _int("height", 1, 20_000, group="content"),
        _choice("purpose", "find", "before", "after", "flaw", "label", "receipt"),
        _text("caption", 200),
        Field("made_from", "sha256"),
        _int("sort", 0, 1_000_000, quiet=True),
    )),
    RecordType("prediction", "an answer of the pad, frozen when the person acted on it", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        _choice("for_what", "bought", "passed", "later", "offer", "asking", required=True),
        _text("book", 80),
        Field("inputs", "object", max=20_000),
        Field("answer", "object", max=20_000),
    )),
    RecordType("split", "a set divided: some of its items become a piece of their own", (
        *_happened(),
        _id("parent_id", "piece", group="shares", required=True),
        _id("child_id", "piece", group="shares", required=True),
        _int("child_weight", 0, 10**9, group="shares", required=True),
        _int("parent_weight", 0, 10**9, group="shares", required=True),
    )),
    RecordType("same_as", "two records of one and the same piece", (
        _instant("at", required=True),
        _id("duplicate_id", "piece", group="pair", required=True),
        _id("survivor_id", "piece", group="pair", required=True),
    )),
    RecordType("seen_elsewhere", "what a similar piece is asked or was said to bring elsewhere", (
        *_happened(),
        Field("kind", "slug", required=True),
        Field("traits", "slugs", max=30),
        _int("count", 1, 500),
        _int("grade", **GRADES),
        _money("amount", group="seen", required=True),
        Field("sold", "bool", group="seen"),
        _text("where", 200),
    )),
    RecordType("visit", "going back for a find: whether it was still there", (
        *_happened(),
        _id("piece_id", "piece", required=True),
        Field("found", "bool", group="outcome", required=True),
        _instant("seen_at", group="outcome"),
        _instant("closes_at", group="outcome"),
    )),
    RecordType("look", "something for a person to settle; written by the server", (
        _instant("at", required=True),
        _choice("reason", "both_edited", "two_sales", "changed_after_deleted", "rule",
                "time_corrected", "two_bindings", required=True),
        _text("about_type", 40, group="about", required=True),
        Field("about_id", "id", group="about", required=True),
        _text("about_group", 60, group="about"),
        Field("kept", "object", group="about", max=20_000),
        Field("other", "object", group="about", max=20_000),
        _text("message", 500, group="about"),
        _instant("settled_at", group="settled"),
        _text("settled_how", 200, group="settled"),
    )),
)  # fmt: skip

BY_NAME: dict[str, RecordType] = {t.name: t for t in RECORD_TYPES}

DELETED = Field("deleted", "bool")
"""Every type has it: deleting is a field, so it is synced, kept in history and undone."""


def fields_of(type_name: str) -> dict[str, Field]:
    """All fields of a record type by name, ``deleted`` included; KeyError for an unknown type."""
    named = {f.name: f for f in BY_NAME[type_name].fields}
    return named | {DELETED.name: DELETED}


def _is_said(value: Any) -> bool:
    """Whether an attribute of a field differs from "nothing said"; a limit of 0 is said."""
    return value is not None and value is not False and value not in ("", ())


def as_data() -> dict[str, Any]:
    """The whole schema as plain data, the form in which the client gets it."""
    return {
        "field_types": FIELD_TYPES,
        "types": {
            t.name: {
                "meaning": t.meaning,
                "fields": [
                    {k: v for k, v in asdict(f).items() if k in ("name", "type") or _is_said(v)}
                    for f in (*t.fields, DELETED)
                ],
            }
            for t in RECORD_TYPES
        },
    }
