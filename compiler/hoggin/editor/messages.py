"""Incoming requests: one that can't be read, or is unknown, is answered too, so that a client does
not wait for it forever."""

from __future__ import annotations

import logging
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcException
from pygls.protocol import LanguageServerProtocol

# Errors are reported to the client; a second copy on standard error would only fill its pipe.
logging.getLogger("pygls").addHandler(logging.NullHandler())
logging.getLogger("pygls").propagate = False


class Messages(LanguageServerProtocol):
    def structure_message(self, data: dict[str, Any]) -> Any:
        """A message in the protocol's types. It is called for every object within one as well."""
        if "jsonrpc" not in data:
            return data
        if "method" in data:
            data.setdefault("params", None)  # the base protocol lets a request leave them out
        try:
            return super().structure_message(data)
        except JsonRpcException as fault:
            if "method" in data and "id" in data:
                answer = types.ResponseError(fault.code, fault.message)
                self._send_response(data["id"], error=answer)
            raise
