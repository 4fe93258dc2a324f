"""A product for every use an annex lists: picked by hand for each of the law's words, so that a figure can be tried on the product it is for."""

from __future__ import annotations

from maker_kit.formula.ingredient import ProductType

LEAVE = {place: ProductType((place,), rinse_off=False) for place in ("hands", "body", "face", "eye area", "lips", "hair", "underarm", "intimate area", "baby")}
RINSE = {place: ProductType((place,), rinse_off=True) for place in ("hands", "body", "face", "hair")}
HAIR_SPRAY = ProductType(("hair",), rinse_off=False, spray=True)
BODY_SPRAY = ProductType(("body",), rinse_off=False, spray=True)
DEO_SPRAY = ProductType(("underarm",), rinse_off=False, spray=True)
CHILD = ProductType(("body",), rinse_off=False, for_whom="small children")

BY_WORDS: dict[str, ProductType] = {
    "": LEAVE["body"], "Rinse-off products": RINSE["body"], "Rinse-off product": RINSE["body"], "Rinse-off": RINSE["body"], "Only for rinse-off products": RINSE["body"],
    "Rinse-off products, except oral care products": RINSE["body"], "Leave-on products": LEAVE["body"], "Leave-on products other than oral products": LEAVE["body"],
    "Rinse-off products | Not to be used in oral products": RINSE["body"], "Rinse-off products other than hair dye products": RINSE["body"],
    "Hair products": RINSE["hair"], "Hair product": RINSE["hair"], "Rinse-off hair products": RINSE["hair"], "Hair rinse-off products": RINSE["hair"], "Rinse-off hair (head) products": RINSE["hair"],
    "Hair leave-on products": LEAVE["hair"], "Leave-on hair products": LEAVE["hair"], "Leave-on hair products (spray/aerosol)": HAIR_SPRAY, "Hair lotions and shampoos": RINSE["hair"],
    "Hair lotions": LEAVE["hair"], "Rinse-off shampoo": RINSE["hair"], "All other hair leave-on products": LEAVE["hair"],
    "Hair leave-on products that may lead to the exposure of the end user’s lungs by inhalation": HAIR_SPRAY, "hair aerosol spray products": HAIR_SPRAY,
    "Body lotion": LEAVE["body"], "Body lotion spray/aerosol": BODY_SPRAY, "Face cream": LEAVE["face"], "Face creams": LEAVE["face"], "Leave-on face products": LEAVE["face"],
    "Face and hand products": LEAVE["hands"], "Skin products": LEAVE["body"], "Lip products": LEAVE["lips"], "Lip make-up products, lipstick, lip salves": LEAVE["lips"], "Eye products": LEAVE["eye area"],
    "Deodorants and antiperspirants": LEAVE["underarm"], "Deodorants/antiperspirants": LEAVE["underarm"], "Deodorants, antiperspirants and astringent lotions": LEAVE["underarm"],
    "Deodorant": LEAVE["underarm"], "Deodorant products (spray/aerosol)": DEO_SPRAY, "Deodorant spray/aerosol": DEO_SPRAY, "Deodorant spray": DEO_SPRAY,
    "Non-aerosol antiperspirants or deodorants": LEAVE["underarm"], "Aerosol antiperspirants or deodorants": DEO_SPRAY, "Shampoo and face products": LEAVE["face"],
    "Eye products, face make-up and make-up remover": LEAVE["eye area"], "Skin and hair rinse-off products": RINSE["body"], "Hand wash": RINSE["hands"],
    "Leave-on skin products (except lip products, deodorants and antiperspirants, fragrance products, eye products, face make-up and make-up remover) and nail products": LEAVE["body"],
    "Leave-on products for the anogenital area (baby wipes and intimate wipes)": LEAVE["intimate area"], "Rinse-off skin and hair products (except shower gel/bath products)": RINSE["hair"],
    "Leave-on skin and hair products (non-spray/non-aerosol) (except body lotion)": LEAVE["hands"], "Other leave-on products and oral products": LEAVE["body"],
    "Leave-on skin products (except face makeup, spray/aerosol body lotion, spray/aerosol deodorant and hydroalcoholic-based fragrances) and leave on hair products (except spray/aerosol products)":
        LEAVE["body"],
    "Rinse-off skin products (except hand wash) and rinse-off hair products": RINSE["body"], "Body and face rinse-off products": RINSE["body"], "Hand leave-on products": LEAVE["hands"],
    "All rinse-off products (except shower gel/bath products, hand wash, hair conditioner and shampoo intended for children below 3 years of age)": RINSE["body"],
    "All leave-on products (except hair conditioner, body lotion, face cream, hand cream, lipstick/lip balm and fragrance products intended for children below 3 years of age)": LEAVE["body"],
    "Shower gel/bath products, hand wash, shampoo, hair conditioner, body, face and hand (skin) care products, lipstick/lip balm and fragrance products intended for children below 3 years of age":
        CHILD,
    "Face leave-on products (except make-up products, eye liner products, eye shadow and mascara)": LEAVE["face"], "Leave-on products (except (a), (b) and (c))": LEAVE["body"],
    "Other leave-on skin products (except non-aerosol antiperspirants or deodorants, aerosol antiperspirants or deodorants, face leave-on products, hand leave-on products and talcum powder)":
        LEAVE["intimate area"],
    "Body lotion, eye shadow, mascara, eyeliner, lipstick, roll-on deodorant": LEAVE["body"], "Other products except body lotion, eye shadow, mascara, eyeliner, lipstick, roll-on deodorant": LEAVE["face"],
    "(a) soap (b) anti- dandruff shampoos (c) deodorants, not in form of spray": LEAVE["underarm"], "Other non-spray cosmetic products": LEAVE["body"],
    "The following spray products: fine fragrances, hair sprays, antiperspirant and deodorant": HAIR_SPRAY, "All cosmetic products, with the exception of mouthwash.": LEAVE["body"],
    "All cosmetic products, with the exception of oral care products": LEAVE["body"], "All cosmetic products with the exception of oral products": RINSE["body"],
    "Not to be used in products applied on mucous membranes": LEAVE["body"], "Not to be used in products applied on the mucous membranes": LEAVE["body"],
    "Not to be used in eye products": LEAVE["body"], "Other products": LEAVE["body"], "Others products": LEAVE["body"], "Other produts": LEAVE["body"], "other products": LEAVE["body"],
    "Other leave-on and rinse-off products": LEAVE["body"], "other leave-on and rinse-off products": LEAVE["face"], "Solvent": LEAVE["body"], "Fragrance/ aromatic compositions/ their raw materials": LEAVE["body"],
    "Toothpastes; Hand soaps; Body soaps/Shower gels; Deodorants (non-spray); Face powders and blemish concealers; Nail products for cleaning the fingernails and toenails before the application of artificial nail systems;":
        RINSE["hands"],
    "Allowed for use as a preservative in rinse off, oral care and leave-on cosmetic products at a maximum concentration of 0,7 % in ready for use preparation.": LEAVE["body"],
    "Face products with the exception of propellent spray products": LEAVE["face"], "Face products, hand products, and lip products, excluding propellant and pump spray products": LEAVE["face"],
    "Body products, including propellant and pump spray products": LEAVE["body"],
}  # fmt: skip
"""The law's words → a product that surely is meant. What is not here (hair dyes, nails, teeth, make-up, perfume, professional use) no maker's words can surely be."""

NO_MAKERS_WORDS = (
    r"(?i)hair ?(?:dye|due|day)|dyeing|oral|tooth|mouth|nail|depilator|eyelash|eyebrow|straighten|waving|make-?up|eye ?shadow|mascara|eye liner|dandruff|fragrance|eau de toilette|talcum|powder|"
    r"self-tanning|rust|denaturant|stabilizer|traces|callosity|soap|shower gel|foot care|anti-perspirants|propellant spray products|concentration applied to hair"
)
