"""What the columns of the tables about suppliers, packs and shop products mean, as in `meant_formula`."""

from __future__ import annotations

_SUPPLIER = ("who sells it, as suppliers.csv calls it", "N raws", "")
_ITEM = ("an ingredient, a container, or Label, by its name", "Glycerin", "")
_SHIPPING = "content times the shipping factor of workshop.csv; a container's own mass; nothing for labels"

BUYING: dict[str, tuple[str, dict[str, tuple[str, str, str]]]] = {
    "suppliers": (
        "where you buy, one supplier a row",
        {
            "name": ("how you call it; packs, kits and delivery use this name", "N raws", ""),
            "handling_cents": ("fee of every order, paid also where delivery is free", "2.90", ""),
            "free_from_cents": ("order from which delivery costs nothing", "75.00", "delivery is never free"),
            "least_order_cents": ("least that an order must come to", "15.00", ""),
            "tax": ("tax that comes on top of the prices", "8.88", ""),
            "tax_on_fees": ("whether that tax is on handling and delivery too", "no", ""),
            "threshold_after_tax": ("whether free delivery goes by the sum with tax", "no", ""),
        },
    ),
    "delivery": (
        "what an order costs in delivery, by weight; at least one row for each supplier",
        {
            "supplier": _SUPPLIER,
            "up_to": ("heaviest order at this price", "5", "everything heavier, or any weight"),
            "price": ("what delivery costs", "7.90", ""),
            "price_to": ("most that it may cost, where only a band is known", "9.90", "the price is known"),
        },
    ),
    "packs": (
        "what can be bought, one pack a row; a price by the count is a row for each step",
        {
            "supplier": _SUPPLIER,
            "item": _ITEM,
            "size": ("content of one pack, with its unit", "250 g", ""),
            "from_count": ("count of packs from which this price holds for each", "6", ""),
            "price": ("price of one pack", "7.40", ""),
            "stock": ("how many are to be had", "3", "as many as you want"),
            "shipping": ("shipping weight of one pack", "290", _SHIPPING),
        },
    ),
    "kits": (
        "bundles at one price, one item a row; what concerns the whole kit stands in its first row, or in all",
        {
            "kit": ("how the kit is called", "Kit 1", ""),
            "supplier": (_SUPPLIER[0], _SUPPLIER[1], "as in the kit's first row"),
            "recipe": ("recipe that it is meant for", "hand-wash", "none named"),
            "makes": ("how many containers it is said to make", "4", "not said"),
            "price": ("price of the whole kit", "26.90", "as in the kit's first row"),
            "shipping": ("shipping weight of the whole kit", "1300", _SHIPPING),
            "stock": ("how many are to be had", "2", "as many as you want"),
            "item": _ITEM,
            "amount": ("how much of it is in the kit", "1050 g", ""),
        },
    ),
    "shop_products": (
        "what you could buy instead, one size a row",
        {
            "product": ("how it is called; recipes use this name", "Shop wash", ""),
            "size": ("content as the pack says it; a plain oz stays unknown", "250 mL", ""),
            "price_cents": ("its price in the shop", "7.20", ""),
            "sale_price_cents": ("its price when on sale", "5.40", "not on sale"),
            "refill": ("whether it refills a bottle that you have", "no", ""),
            "read_on": ("the day the price was read", "2026-03-02", "not known"),
            "label_order": ("its ingredients in the order of the pack", "Aqua; Glycerin; Parfum", "not read"),
            "claims": ("what the pack says besides", "no dyes", "nothing"),
            "where_read": ("where you read it", "the pack", "not said"),
        },
    ),
}
