"""What the shop sells instead: products in one or more sizes, with the order on the label."""

from __future__ import annotations

from maker_kit.workshop.csv.cells import BareOunces
from maker_kit.workshop.csv.faults import Names
from maker_kit.workshop.csv.records import Record, Records, less
from maker_kit.workshop.csv.same_rows import agreed, check_agreed, same_name
from maker_kit.workshop.things import ShopProduct, ShopSize

_WHOLE = ("label_order", "claims", "where_read")


def read_shelf(records: Records) -> tuple[dict[str, ShopProduct], Names]:
    """The shop products, one row a size, and all their names.

    The order on the label, the claims and where they were read stand in the first row of a product or in all of them.
    """
    for r in records:
        price, sale = r["price_cents"], r["sale_price_cents"]
        if less(price, sale) and "sale_price_cents" not in r.sure:
            r.refuse(
                "sale_price_cents",
                f"at most {price / 100:.2f}, the regular price, or a price you are sure of",
                f"exchange the two or correct one; if it is meant, write: {r.texts['sale_price_cents'].strip()} sure",
            )
    found = {}
    groups = same_name(records, "product")
    for rows in groups:
        check_agreed(rows, _WHOLE, "product")
        if all(r.whole for r in rows):
            name, whole = rows[0]["product"], {key: agreed(rows, key) for key in _WHOLE}
            found[name] = ShopProduct(name, tuple(_size(r) for r in rows), **whole)
    known = None if records.column("product") is None else [rows[0]["product"] for rows in groups]
    return found, Names.of("a shop product", records.file, known)


def _size(record: Record) -> ShopSize:
    size = record["size"]
    text = " ".join(size.text.split())
    name = f"refill {text}" if record["refill"] else text
    if isinstance(size, BareOunces):
        content = {"as_mass_g": size.as_mass_g, "as_volume_ml": size.as_volume_ml}
    else:
        content = {"size_ml" if size.basis == "volume" else "size_g": size.value}
    return record.make(ShopSize, name=name, invented=record.invented, **content)
