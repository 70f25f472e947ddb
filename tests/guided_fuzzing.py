"""The same sources led by the code they reach: `pip install atheris`, which the tests do not need.

A run of any length:  python -m tests.guided_fuzzing RUNS SEED FOLDER
FOLDER takes the sources that failed, and under `corpus` those that reached new code.
"""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random

import atheris

with atheris.instrument_imports(include=["hoggin"]):
    from tests.fuzzing import begin

_LONGEST = 20_000  # bytes of a source


def main() -> None:
    runs, seed, folder = int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3])
    run = begin(folder)
    corpus = folder / "corpus"
    corpus.mkdir(exist_ok=True)
    for number, source in enumerate(run.seeds):
        (corpus / f"seed_{number:03}").write_text(source, encoding="utf-8")

    def one(data: bytes) -> None:
        run.one(data.decode("utf-8", "replace"))

    def mutate(data: bytes, most: int, seed: int) -> bytes:
        other = run.another(data.decode("utf-8", "replace"), Random(seed))
        return other.encode("utf-8", "replace")[:most]

    options = [f"-runs={runs}", f"-seed={seed}", f"-max_len={_LONGEST}", "-timeout=60"]
    atheris.Setup([sys.argv[0], *options, "-verbosity=0", str(corpus)], one, custom_mutator=mutate)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
