"""What the noise of `fuzzing` is made of: cells, words of a recipe, values of settings, bytes."""

from __future__ import annotations

BYTES = b'",;\n\r\t\0 =ab1\xc3\xa9\xff'
ODD = (
    *("", " ", "-1", "0", "1e99", "-0", "nan", "inf", "1e-99", "9" * 30, "0.0000000001", "1,5", "1.234,5", "½", "1/0"),
    *("1 1/0 g", "5 oz", "1 gal", "999999 kg", "0.01 g", "-3 g", "∞", "=1+1", "<b>x</b>", "'", '"', ";", "a;a"),
    *("Water", "water", "WATER ", "Label", "yes", "no", "maybe", "2026-02-30", "1.1.2026", "sure", "0.005 sure"),
    *("\u202e", "\ud7ff", "İ", "ß", "é", "e\u0301", "x" * 200, "x" * 9000, "../../etc", ".", "r4-balm", "all", "5A"),
    *("100", "100.0001", "True", "1_000", "٣", "1e5 pieces", "2.5 pieces", "24 pieces", "$x_1$", "\x1b[2J", "\t"),
    *("12.50", "50 %", "0.3", "31.12.2026", "9999-12-31", "0001-01-01", "5 g", "250 mL", "8.5 fl oz", "1 mL"),
    *("EU", "US", "dd.mm.yyyy", "rinse-off", "leave-on", "hands", "eyes; lips", "preservative", "scent", "Aqua"),
)
SETTINGS = (
    *("1", "2", "12", "0", "-3", "1.5", "100000", "1e400", "nan", "none", "None", "yes", "False", "r4-balm", "0.8"),
    *("0.001", "99.99", "50", "4.2", "14.1", "Scent 2", "Scent 9", "scent 1", "٣", "4_5", "1 000", "0x10", "1e3"),
    *("Scent 1: 0.8: 10, Scent 2: 0.6: 8", "unscented: 0: 4", "a: b: c", ":::", "Propanediol = 32 g", "= 3", "a = = b"),
)
AMOUNTS = ("10 %", "5 %", "0.5 %", "20 g", "1.25 g", "2 tbsp", "1/2 tsp", "10 g", "30 g", "3 parts", "4 oz wt")
NAMES = ("Glycerin", "Beeswax", "Xanthan gum", "Scent 1", "Propanediol", "Dry-feel ester", "Sodium benzoate")
WORDS = (
    *("Glycerin", "glycerin", "Water", "water to 100", "water q.s.", "q.s. to 500 g", "Scent 1", "Beeswax", "Aqua"),
    *("2 oz", "1/2 cup", "½", "1½ cups", "3 tbsp", "10 drops", "5 g", "5g", "2.5 %", "2,5 %", "1.000", "1 000 g"),
    *("10-12 g", "10 to 12 %", "100", "0", "0 %", "-5 g", "1e400 g", "9" * 40 + " g", "0.0001 %", "1/0 cup", "1/3"),
    *("Phase A:", "Phase", "A", "•", "-", "1.", "2)", "\t", "|", ";", ",", ".", ":", "=", "+", "(", ")", "[", "plus"),
    *("sure", "parts", "2 parts", "mL", "kg", "of", "and", "each", "to pH 5.5", "total 500 g", "Sodium benzoate"),
    *("<tr><td>", "&nbsp;", "<b>", "**", "# x", "$x$", "\x1b[2J", "\u202e", "\0"),
    *("é", "日本", "٣ g", "½ ½", "x" * 300),
    *("shea butter (refined)", "Heat to 75 °C", "stir 5 min", "oil of roses", "drop", "pinch", "as needed", "rest"),
)
