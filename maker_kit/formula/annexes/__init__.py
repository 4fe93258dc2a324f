"""WHAT DOES THE COSMETICS LAW OF THE EU SAY OF A SUBSTANCE? Annexes II–VI of Regulation (EC) No 1223/2009, read for
the products that a maker's words can tell apart.

``verdicts`` (what a recipe holds, judged) · ``prohibited`` (Annex II) · ``listed`` (an entry of Annexes III–VI) ·
``conditions`` (pH, age, spray, place) · ``uses`` (which products
an entry's words mean) · ``law`` (the tables read) · ``counted`` (as acid, as aluminium) · ``state`` (of what date
the law is) · ``us`` (21 CFR 700).
"""
