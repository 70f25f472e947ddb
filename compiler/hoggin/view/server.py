"""The server of the live view: one plant, one page, questions only."""

from __future__ import annotations

import json

from hoggin.view.live import Live
from hoggin.view.local import PULSE_S, STILL_HERE, Answer, Asked, LocalServer, Stream
from hoggin.view.pages import Pages, page


class ViewServer(LocalServer):
    """Serves the state of `live`."""

    def __init__(self, live: Live, port: int = 0) -> None:
        self.live = live
        self.pages = Pages(live, page("main.js"))
        super().__init__(port)

    def answer(self, asked: Asked) -> Answer | Stream | None:
        if len(asked.steps) != 1:
            return None
        (name,) = asked.steps
        if name == "events" and asked.method == "GET":
            return self._readings()
        return self.pages.answer(name, asked.query.get("key", ""))

    def _readings(self) -> Stream:
        """The number of every new reading, the present one first."""
        told = -1
        while not self.live.stopped:
            number = self.live.wait(told, PULSE_S).number
            if self.live.stopped:
                return
            yield f"data: {json.dumps(number)}\n\n".encode() if number != told else STILL_HERE
            told = number
