"""Questions about names that are a letter off: what is not recognised is not counted."""

from __future__ import annotations

from maker_kit.formula.substances.near import near_names, near_word
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic


def ask_names(held: Held, asker: Asker) -> None:
    """Names on shop labels, in own limits and on the avoid-list; words of INCI names."""
    for r in held.tables[specs.INGREDIENTS]:
        for name in r["inci"] or ():
            written, meant = near_word(str(name))
            if meant:
                why = f'No published name has the word "{written}": it may be "{meant}"'
                asker.ask("name", Topic.of("ingredient", r["name"]), r, "inci", why)
    for spec, key, topic_of in (
        (specs.SHOP_PRODUCTS, "label_order", lambda r: Topic.of("shop product", r["product"])),
        (specs.LIMITS, "members", lambda r: Topic("workshop", "")),
        (specs.LIMITS, "substance", lambda r: Topic("workshop", "")),
        (specs.AVOID, "avoid", lambda r: Topic("workshop", "")),
        (specs.PAPERS, "about", lambda r: Topic.of("recipe", r["recipe"] or "")),
    ):
        for r in held.tables[spec]:
            said = r[key] or ()
            for name in (said,) if isinstance(said, str) else said:
                plain = name.partition("=")[0].strip()
                near = near_names(plain) if plain else ()
                if near:
                    meant = " or ".join(f'"{n}"' for n in near)
                    asker.ask("name", topic_of(r), r, key, f'No table knows "{plain}": it may be {meant}')
