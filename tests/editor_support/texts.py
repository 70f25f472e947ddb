"""Texts for highlighting where words mean one thing or another by their place. Invented."""

WORDS_AS_NAMES = """\
edition 2026
use std.use as from_there   # `use` beside a dot is a name
plant "Whin Edge" { currency EUR; history { "A": "first" }
  feed feed { rate free(10 t/h to 12 t/h); moisture normal(3 %, 0.5 %) }
  feed -> product product
  product.over -> crusher -> crusher.out
  crusher -> bin
  bin : 3
  section tertiary: standard.circuit(feed: 900 mm,
    crusher: 14 mm, from: 3,
    product
  )
  splitter halves { out rest 50 %; out in rest }
  require rest.rate within 1 t/h to 2 t/h or (sand.p80 <= 4 mm
    and product.passing(0.5 mm) >= 20 %)
  require sand.from < 3 and sand . to > 2
  minimize plant.power + weight weight 3
  maximize 12 EUR/t * chips.rate - 0.15 EUR/kWh * plant.power
  weight 5 t
  choose circuit { option open { deck deck 40 mm square; deck two 30 mm slotted } }
  let min = min(3, 4) * max(2 mm, 3 in) ^ 2 / any(1, 2)
  let a = uniform(1 to 2) - triangle(1 to 3, 2)
  css any(medium, fine)
  rate 5 t/x
  width 3 mm2 ; length 1e3 m; slope 2.5e-3rad; share 5%
  a 3 to 4 ; b 5 source "a # no comment"
  caution "never closed
  let after = 3
}
class crusher product(head: 600 mm to 2000 mm, unit: t/h, kind: m | t, note: text = "x",
  share: % = 3 %, count: number) source "x" {
  setting css: 8 mm to 40 mm
  setting chamber: m | coarse = m
  setting share: %
  k1 by chamber { coarse: 0.9 * head, from: 3
    feed: 2 }
  rule chamber != fine or css == 20 mm else "no"
  model capacity: rated { rated 180 t/h }
}
class class(a: m) {}
template crusher(a: m) { in in ; out out }
series series { 3 mm, 2 mm
  crusher, 1 mm }
}
crusher x } feed y
x in y
x -> sizing.
§ é ! 3
"""

# A bracket that is never closed must not swallow the lines after the next brace.
BRACKET_LEFT_OPEN = """\
crusher primary: jaws.single_toggle(gape: 900 mm {
  css 90 mm
  feed x
}
feed y (((
  crusher z { deck a 3 mm }
product p
"""

TEXTS = {"words_as_names": WORDS_AS_NAMES, "bracket_left_open": BRACKET_LEFT_OPEN}
