"""What the columns of the tables about recipes, ingredients and limits mean, with an example each."""

from __future__ import annotations

_ASKED = "not known, and said so where it matters"
_VERSION = ("version of the recipe that it is about", "1", "any version")
_UNIT = {"spread": ("cm", "7.5"), "funnel": ("s", "12"), "viscosity": ("mPa·s", "4500")}
_HOW = {
    "spread": "how far a sample spreads on a plate",
    "funnel": "how long a sample takes through a funnel",
    "viscosity": "what a viscometer reads",
}


def _wanted() -> dict[str, tuple[str, str, str]]:
    found = {}
    for way, (_, example) in _UNIT.items():
        found[f"shop_{way}"] = (f"{_HOW[way]}, read of the shop product", example, "not read")
        found[f"{way}_from"] = (f"least that is wanted: {_HOW[way]}", example, "no lower end is wanted")
        found[f"{way}_to"] = (f"most that is wanted: {_HOW[way]}", example, "no upper end is wanted")
    return found


FORMULA: dict[str, tuple[str, dict[str, tuple[str, str, str]]]] = {
    "workshop": (
        "what holds for the whole workshop, one setting a row",
        {
            "setting": ("which setting: one of the list of settings", "currency", ""),
            "value": ("what it is set to", "EUR", "what the list of settings says of an empty one"),
        },
    ),
    "settings": (
        "the settings of workshop.csv",
        {
            "currency": ("currency of all prices, three capital letters (ISO 4217)", "EUR", ""),
            "market": ("whose law the limits are judged by", "EU", ""),
            "scale": ("smallest step and heaviest load of each of your scales", "0.1 g to 500 g; 1 g to 10 kg", ""),
            "loss_percent": ("what stays in the beaker, as a share of the batch, for recipes that name none", "2", ""),
            "film_g": ("what stays on the tools whatever the batch, for recipes that name none", "5", ""),
            "shipping_factor": (
                "shipping weight of a pack over its content, where packs.csv gives no weight (assumed)",
                "1.08",
                "",
            ),
            "weights_in": (
                'what you weigh in; with oz, a plain "oz" in packs, kits and fills is one of weight (28.3495 g), '
                "and the sheet of the day gives ounces too. An oz on a shop's pack stays unknown: you did not write it",
                "oz",
                'g; a plain "oz" is asked about',
            ),
            "decimal_mark": (
                "how you write decimals: with comma, 7,40 is read in every table; with point, it is asked about",
                "comma",
                "a comma may stand where cells are separated by semicolons, and in text cells of a workbook",
            ),
            "date_order": (
                "whether 03/04/2026 is the 3rd of April (day first) or the 4th of March (month first)",
                "day first",
                "a date with strokes that can be read in two ways is asked about",
            ),
        },
    ),
    "ingredients": (
        "everything that goes into a recipe, one a row",
        {
            "name": ("how you call it; recipes and packs use this name", "Glycerin", ""),
            "inci": ("its INCI names, from the supplier's sheet", "Glycerin", ""),
            "function": ("what it does; limits and sliders go by it", "humectant", ""),
            "density_g_per_ml": ("mass of 1 mL at 20 °C", "1.261", "not known: volumes of it are refused"),
            "density_source": ("where the density is from", "supplier's sheet, page 2", "not said"),
            "least_percent": ("least that the supplier recommends, of the whole product", "0.5", "none named"),
            "most_percent": ("most that the supplier recommends, of the whole product", "5", "none named: unknown"),
            "range_from": ("where that range is from", "supplier's sheet, page 1", "not said"),
        },
    ),
    "whats_inside": (
        "what bought mixtures hold: scents, bases, preservative blends; one substance a row",
        {
            "mixture": ("the mixture, as ingredients.csv calls it", "Scent 3", ""),
            "substance": ("INCI name of one substance in it", "Linalool", ""),
            "low_percent": ("least of it in the mixture", "1", "not told by the supplier"),
            "high_percent": ("most of it in the mixture", "3", "not told by the supplier: unknown, never none"),
            "source": ("where that is from", "allergen sheet of the supplier, 2026", "not said"),
        },
    ),
    "bench_made": (
        "mixtures that you make yourself: solutions, premixes; one part a row",
        {
            "mixture": ("the mixture, as ingredients.csv calls it", "Citric acid 50 % solution", ""),
            "made_from": ("one of its parts, as ingredients.csv calls it", "Citric acid", ""),
            "percent": ("its share of the mixture by mass", "50", ""),
        },
    ),
    "certificates": (
        "what a scent's certificate allows, one category a row",
        {
            "scent": ("the scent, as ingredients.csv calls it", "Scent 1", ""),
            "amendment": ("amendment of the IFRA Standards that the certificate names", "51", ""),
            "category": ("category of the IFRA Standards", "5A", ""),
            "most_percent": ("most of the scent in the finished product", "1.8", ""),
            "source": ("the certificate: who, when", "supplier's certificate of 2026-01-12", ""),
        },
    ),
    "limits": (
        "limits of your own, beside those that the workbook knows",
        {
            "substance": ("what is limited: an INCI name, or a name for a group", "Benzyl Alcohol", ""),
            "most_percent": ("most of it in the finished product", "1", "named without a figure: unknown"),
            "members": (
                "INCI names that count together, each with a factor where it counts otherwise",
                "Benzoic Acid; Sodium Benzoate = 0.84746",
                "the substance alone",
            ),
            "counted_as": ("as what it is counted", "as acid", ""),
            "applies": ("which products it is for", "leave-on", ""),
            "category": ("category of the IFRA Standards, for a limit by category", "5A", "not by category"),
            "kind": ("who sets it", "supplier", ""),
            "region": ("where it is law", "EU", "no law, or anywhere"),
            "conditions": ("its scope in words", "not in spray dispensers", "no conditions"),
            "unrestricted": ("yes where the source says that there is no restriction", "no", ""),
            "amendment": ("amendment or regulation it is from", "51", "none named"),
            "date": ("date of the source", "2026-01-31", "not known"),
            "source": ("title and section that say so", "supplier's sheet, section 3", ""),
            "checked": ("how you checked it", "read", ""),
        },
    ),
    "containers": (
        "what products are filled into",
        {
            "name": ("how you call it; recipes and packs use this name", "200 mL jar", ""),
            "kind": ("what kind of container", "jar", ""),
            "nominal_ml": ("what it is sold as", "200", ""),
            "brim_ml": ("what it holds up to the brim", "222", ""),
            "mass_g": ("what it weighs empty, with its closure", "55", ""),
        },
    ),
    "recipes": (
        "one row a recipe: what it is, where it goes, what it is filled into; its lines stand in recipes/NAME.csv",
        {
            "name": ("short name, also the file's: letters, digits, hyphens, underscores", "hand-wash", ""),
            "title": ("what it is called", "Foaming hand wash", ""),
            "version": ("your version of it", "2", "none"),
            "places": ("where it goes on the body; decides which limits hold", "hands; body", ""),
            "rinse": ("whether it is rinsed off or left on", "rinse-off", ""),
            "spray": ("whether it is sprayed", "no", ""),
            "for_whom": ("for whom it is", "adults", ""),
            "container": ("what it is filled into, as containers.csv calls it", "200 mL jar", ""),
            "fill": ("how much goes into one container", "200 mL", ""),
            "density_g_per_ml": ("mass of 1 mL of the finished product", "0.98", ""),
            "density_source": (
                "where the density is from; begin it with 'not weighed' where nobody weighed it",
                "100 mL weighed on 2026-03-02",
                "taken as weighed",
            ),
            "film_g": ("what stays on the tools, whatever the batch", "5", "what workshop.csv says"),
            "loss_percent": ("what stays in the beaker, as a share of the batch", "2", "what workshop.csv says"),
            "ph_low": ("lowest pH that is wanted", "4.8", _ASKED),
            "ph_high": ("highest pH that is wanted", "5.3", _ASKED),
            "ph_read": ("pH that was read of a batch", "5.1", "not read: unknown"),
            "ph_tool": (
                "what the pH was read with; says how far off it may be",
                "meter",
                "not said: the error is unknown",
            ),
            "keeps_months": ("how long it keeps unopened", "12", "not known"),
            "open_months": ("how long it keeps once opened", "6", "not known"),
            "use_per_month": ("containers that you use up in a month", "2", "not known"),
            "scent": ("the scent, one of its lines", "Scent 1", "none, or none that is set by a slider"),
            "thickener": ("the thickener, one of its lines", "Gel former", "none, or none that is set by a slider"),
            "shop_product": ("what it stands against, as shop_products.csv calls it", "Shop gel", "nothing"),
            **_wanted(),
            "source": ("where the recipe is from", "own trials of spring 2026", "not said"),
            "written_on": ("the day it was written down", "2026-03-31", "not known"),
        },
    ),
    "recipe_lines": (
        "the lines of one recipe, in percent by mass of the whole; they make 100",
        {
            "phase": ("which part of the recipe: what is weighed and worked together", "A", ""),
            "ingredient": ("what goes in, as ingredients.csv calls it", "Glycerin", ""),
            "percent": ("percent by mass of the whole product", "4", "only on the balance line: what the others leave"),
            "balance": ("yes on the one line that takes what the others leave", "yes", ""),
        },
    ),
    "recipe_steps": (
        "how a recipe is made, one step a row; a recipe may be without",
        {
            "number": ("number of the step, rising", "3", ""),
            "phase": ("which phase it is about", "B", "none in particular"),
            "text": ("what to do", "Stir B slowly into A.", ""),
            "from_c": ("lowest temperature of the step", "70", "no lower end"),
            "to_c": ("highest temperature of the step", "75", "no upper end"),
            "minutes": ("how long it takes", "20", "not said"),
            "tool": ("what it is done with", "paddle", "not said"),
            "into": ("what it goes into", "phase A", "not said"),
            "fine_until": ("what may still look odd, and until when", "cloudy until 40 °C", "nothing odd is expected"),
            "rescue": ("what to do if it goes wrong", "warm it again and stir", "not known"),
        },
    ),
    "thickness": (
        "thickness that you read of samples, one sample a row",
        {
            "recipe": ("short name of the recipe", "gel-cream", ""),
            "ingredient": ("the thickener, as ingredients.csv calls it", "Gel former", ""),
            "level_percent": ("how much of it was in the sample", "0.6", ""),
            **{way: (f"{_HOW[way]}", example, "not read this way") for way, (_, example) in _UNIT.items()},
            "temperature_c": ("temperature of the sample", "20", ""),
            "hours": ("how long after it was made", "24", ""),
            "repeat": ("number of the sample, where one was made several times", "2", ""),
        },
    ),
    "avoid": (
        "what somebody must not get",
        {
            "person": ("for whom", "a guest", ""),
            "avoid": ("what to avoid: a substance, a plant, a word in names", "almond", ""),
            "reason": ("why", "allergic to tree nuts", "not said"),
        },
    ),
    "swaps": (
        "what may stand in for what",
        {
            "ingredient": ("what may be missing", "Propanediol", ""),
            "instead": ("what may stand in for it", "Glycerin", ""),
            "ratio": ("grams of it for one gram", "1", ""),
            "what_changes": ("what is then different", "tackier; untested", ""),
        },
    ),
    "targets": (
        "what a product must do beside a shop product; a workshop may be without",
        {
            "recipe": ("short name of the recipe", "hand-wash", ""),
            "against": ("the shop product, as shop_products.csv calls it", "Shop wash", ""),
            "version": ("version of the target card, rising", "1", ""),
            "written_on": ("the day it was written down", "2026-03-01", ""),
            "name": ("what it must have", "foam height", ""),
            "measure": ("how it is told", "measured", ""),
            "how": ("how it is measured", "50 mL of 1 % in water, ten turns, read after 5 minutes", ""),
            "unit": ("unit of the figure, or the words to choose from", "mm", ""),
            "gap": (
                "difference that still counts as alike; of a cost, how much dearer it may be",
                "5",
                "none: for a kind, the same or not",
            ),
            "better": ("which way is better", "more", "neither: as near as can be"),
            "weight": ("how much it matters", "must", ""),
        },
    ),
    "papers": (
        "papers on file for a recipe; a workshop may be without",
        {
            "recipe": ("short name of the recipe", "hand-wash", "all recipes"),
            "version": _VERSION,
            "paper": ("which paper", "patch test", ""),
            "about": ("substances or things it is about", "Scent 3; Linalool", "the whole product"),
            "date": ("its date", "2026-03-14", ""),
            "by": ("who made it", "the supplier", "not said"),
            "qualification": (
                "what qualifies that person",
                "safety assessor",
                "not said: nothing is taken for granted",
            ),
            "kept": ("where it is kept", "folder 3", "not said"),
            "closed_on": ("the day a deviation was closed", "2026-03-20", "open, for a deviation"),
        },
    ),
    "watch": (
        "what was seen of batches that stand and are watched; a workshop may be without",
        {
            "recipe": ("short name of the recipe", "hand-wash", ""),
            "version": _VERSION,
            "batch": ("number of the batch", "HW-01", ""),
            "day": ("days since it was made", "7", ""),
            "temperature_c": ("temperature that it stands at", "20", ""),
            "as_before": ("whether it looks and smells as before", "yes", "not looked at"),
            "ph": ("pH that was read", "5.0", "not read"),
            "spread_cm": ("how far a sample spreads", "7.4", "not read"),
            "weight_g": ("what it weighs", "251.3", "not weighed"),
        },
    ),
    "decisions": (
        "what you want of a recipe, for the decision; a workshop may be without",
        {
            "recipe": ("short name of the recipe", "hand-wash", ""),
            "containers": ("how many containers you want", "24", "not said"),
            "dose_g": ("what one use takes of yours", "1.6", "not weighed"),
            "shop_dose_g": ("what one use takes of the shop product", "1.6", "not weighed"),
            "shop_density_g_per_ml": ("mass of 1 mL of the shop product", "1.02", "not weighed"),
            "dose_from": ("how the doses were weighed", "20 washes of each", "not said"),
            "worth_it_for": ("what making it is worth beside money", "a scent of one's own", "nothing beside money"),
        },
    ),
}
