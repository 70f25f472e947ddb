"""The layered layout of the Eclipse Layout Kernel, run in the process: a graph in its JSON format
in, the same graph with places out.

The kernel is `vendor/elk.bundled.js.gz` (elkjs 0.12.1, EPL-2.0), run by V8 through `mini-racer`. A
plant of 15 machines took V8 0.14 s to 0.33 s when warm, and a small interpreter (quickjs) 1.0 s to
2.2 s, measured on a busy machine; a plant of 2,000 machines has 200 sheets or more. The engine is
started when it is first needed, once a process.
"""

from __future__ import annotations

import atexit
import gzip
import json
import os
from collections.abc import Callable
from functools import cache
from importlib.resources import files
from typing import Any

from hoggin.report.drawing import layout_cache

Graph = dict[str, Any]

# The kernel works when a timer fires: here timers fire at once. It needs a console, but says
# nothing there that a user could act on.
_SURROUNDINGS = """
function setTimeout(work) { work(); return 0 }
var self = globalThis, console = { log() {}, warn() {}, error() {} };
"""
_LAYOUT = """
var kernel = new ELK(), answer = null;
function layOut(graph) {
  answer = null;
  kernel.layout(graph)
    .then(done => { answer = JSON.stringify(done) })
    .catch(error => { answer = "null" });
}
"""


def laid_out(graph: Graph) -> Graph | None:
    """The graph with its places, from the cache where it was laid out before. None where the kernel
    fails on it: it does at times where a drawing is wrapped."""
    asked = json.dumps(graph, sort_keys=True, separators=(",", ":"))
    known = layout_cache.get(asked)
    if known is None:
        known = _engine(os.getpid())(asked)
        layout_cache.put(asked, known)
    found: Graph | None = json.loads(known)
    return found


@cache
def _engine(process: int) -> Callable[[str], str]:  # noqa: ARG001
    """The engine of a process: its threads do not outlive a fork."""
    from py_mini_racer import MiniRacer

    kernel = files("hoggin.report.drawing.vendor").joinpath("elk.bundled.js.gz")
    context = MiniRacer()
    atexit.register(context.close)
    context.eval(_SURROUNDINGS)
    context.eval(gzip.decompress(kernel.read_bytes()).decode())
    context.eval(_LAYOUT)

    def lay_out(graph: str) -> str:
        context.eval(f"layOut({graph})")  # JSON is also JavaScript
        return str(context.eval("answer"))

    return lay_out
