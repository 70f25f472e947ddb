"""A backend: a list of the machines, from the results alone."""

from __future__ import annotations

from hoggin.schema.results import Results


def machine_list(results: Results) -> dict[str, str]:
    lines = [f"{one.tag}: {one.feed_t_h:.1f} t/h\n" for one in results.machines]
    return {"machines.txt": "".join(lines)}
