"""What the shop sells instead: products in one or more sizes, with the order on the label."""

from __future__ import annotations

from maker_kit.names import name_key
from maker_kit.workshop.csv.columns import BareOunces
from maker_kit.workshop.csv.faults import FaultBook, Names
from maker_kit.workshop.csv.records import Record, Records, agreed, check_agreed
from maker_kit.workshop.things import ShopProduct, ShopSize


def read_shelf(records: Records, book: FaultBook) -> tuple[dict[str, ShopProduct], Names]:
    """The shop products, one row a size, and all their names.

    The order on the label, the claims and where they were read stand in the first row of a product or in all of them.
    """
    groups: dict[str, list[Record]] = {}
    for r in records:
        if r["product"]:
            groups.setdefault(name_key(r["product"]), []).append(r)
        if (
            r["price"] is not None
            and r["sale_price"] is not None
            and r["sale_price"] > r["price"]
            and "sale_price" not in r.sure
        ):
            r.refuse(
                book,
                "sale_price",
                f"at most {r['price'] / 100:.2f}, the regular price, or a price you are sure of",
                f"exchange the two or correct one; if it is meant, write: {r.texts['sale_price'].strip()} sure",
            )
    found = {}
    for rows in groups.values():
        for key in ("label_order", "claims", "where_read"):
            check_agreed(rows, key, "product", book)
        if all(r.whole for r in rows):
            name = rows[0]["product"]
            found[name] = ShopProduct(
                name,
                tuple(_size(r) for r in rows),
                agreed(rows, "label_order") or (),
                agreed(rows, "claims") or (),
                agreed(rows, "where_read") or "",
            )
    return found, Names.of(
        "a shop product",
        records.file,
        None if records.names("product") is None else [rows[0]["product"] for rows in groups.values()],
    )


def _size(record: Record) -> ShopSize:
    size = record["size"]
    text = " ".join(size.text.split())
    name = f"refill {text}" if record["refill"] else text
    unknown = isinstance(size, BareOunces)
    return ShopSize(
        name,
        None if unknown or size.basis != "volume" else size.value,
        None if unknown or size.basis != "mass" else size.value,
        record["price"],
        record["sale_price"],
        record["refill"],
        record["date"],
        size.as_mass_g if unknown else None,
        size.as_volume_ml if unknown else None,
    )
