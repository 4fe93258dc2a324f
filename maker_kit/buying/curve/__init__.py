"""All counts at once; one door: `solver.CurveSolver`.

The problem is the internet shopping problem (Błażewicz et al., Int. J. Appl. Math. Comput. Sci. 20 (2010)
385–390). As on a whiteboard, with why each bound holds:

1. Above. A basket that can be bought, priced exactly (`catalogue`), costs no less than the cheapest; and it serves
   every smaller count. So every cover that is met below is priced, and the best of each count kept (`prices.Known`).
2. One item. The cheapest cover of every need from 0 up, by dynamic programming over its packs: the last pack is there
   k times, and the packs before it cover the rest at their cheapest (`covers`; kept between moves in `table_cache`).
3. Below, without kits. Fix how every order is charged: which suppliers are open, and of each one mode, which is a
   fee, a subtotal that is reached and a weight that is kept (`supplier_subsets`). Every basket is charged by one of
   these ways. Fees are then constants, and the items would come apart but for the two rows a supplier. Take them into
   the cost at prices λ, μ ≥ 0: min cost ≥ min (cost + λ · (subtotal − goods) + μ · (weight −
   heaviest)), as whoever keeps both rows adds nothing above 0; and the right side is a sum over items of cheapest
   covers at changed prices (Lagrange; Fisher, Management Science 27 (1981) 1–18). It holds whatever λ and μ are;
   good ones are looked for, nearer at every turn (`open_pairs`).
4. Below, with kits. What a kit covers, it covers of each of its items; so a kit stands for one pack of every item in
   it, at parts of its price that add up to no more than the price. Every basket is a basket of such packs at no
   higher cost, so the sum of the items' cheapest covers stays below (`TableCache.with_parts`). Kit after kit, the
   numbers of it whose bound is below the best basket are listed, and those alone (`kit_counts`): no cheaper basket
   has another.
5. Of all ways and choices of kits the least bound holds for the count, and for every larger one: what covers its need
   covers the smaller need (`search`, which is branch and bound over them for all counts at once).
6. What is still open lies between two bounds. Let a basket of one way cost less than the best one known. With the
   changed prices of 3 its covers together exceed the items' cheapest by less than the distance of the two bounds, so
   each of them does: those near covers are listed (`near_covers`), and combined item by item. Of two partial baskets,
   one that costs no less and has no less left to do is dropped (`undominated`): whatever completes it completes the
   other. So the cheapest that is found is the cheapest there is, or there is none below the best one known
   (`partial_baskets`; Desrochers and Soumis, INFOR 26 (1988) 191–212). It is searched at a part of the distance
   first.

Of one count, where a basket at its cost or little above is known, every way to order whose bound is no higher is tried
with the near covers of each item: whether another basket costs as much, and what is cheapest once a price has moved
(`near`).

Whatever would take too much room or time is left open and told with both its bounds; the integer program of
`maker_kit.buying.basket` closes it, or raises its bound as far as its time reaches.
"""
