"""How many small faults, put into the models, the balance and the ratings, the tests notice.

Some faults change no result, so no test can notice them. Those that a sample brought up:

- `models/slurry.py` and `models/thickening.py`, `WATER_T_M3`: a product and a quotient by 1 t/m3
  are the same.
- `models/grading.py`, `_tail_slope`: the slope of a tail of nothing is multiplied by 0.
- `models/blending.py`, `_MOST_PIVOTS`: Bland's rule ends long before.
- `rating/requirements.py`, the place -1 of a sieve that does not bind: any place below 0 says so.
- `rating/requirements.py`, the default case of `band_verdict`: it is left out where there is only
  one case, which is the first and the last.
- `rating/requirements.py`, `_SLACK * max([1.0, ...])`: 1e-9 or twice that is forgiven. Both are
  above the rounding of a balance and below any number that is shown.
"""
