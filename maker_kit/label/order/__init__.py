"""HOW MUCH OF EACH NAME MAY BE IN IT? Least and most of every name of an ordered list, over every place of the 1 %
line.

``label_order`` (names, law, caps, floors, sums) · ``figures`` (all of it as whole numbers) · ``chain`` (closed form)
· ``groups`` (sums in closed form) · ``programs`` (sums by linear programs) · ``bounds`` (the door) · ``clash``
(why a label contradicts itself) · ``because`` (which rules make a bound) · ``middle`` (a guess).
"""
