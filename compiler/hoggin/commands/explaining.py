"""`hoggin explain` and `hoggin schema`: what the diagnostics and the results document mean."""

from __future__ import annotations

import argparse
import json

from hoggin.commands.output import say
from hoggin.diagnostics.codes import CODES
from hoggin.diagnostics.suggest import did_you_mean
from hoggin.errors import Exit, HogginError


def explain(options: argparse.Namespace) -> int:
    if options.code is None:
        for code in CODES.values():
            say(f"{code.code}  {code.title}")
        return Exit.DONE
    if "." in options.code:  # of a plug-in's check
        from hoggin.plugins.checks import explained

        page = explained(options.code)
        if page is None:
            raise HogginError(f"no installed check has the code `{options.code}`")
        say(page.rstrip("\n"))
        return Exit.DONE
    found = CODES.get(options.code.upper())
    if found is None:
        near = did_you_mean(options.code.upper(), CODES)
        raise HogginError(f"unknown code `{options.code}`. {near}")
    say(found.page().rstrip("\n"))
    return Exit.DONE


def schema(_options: argparse.Namespace) -> int:
    from hoggin.schema.results import Results  # which an explanation does not wait for

    print(json.dumps(Results.model_json_schema(), indent=2, sort_keys=True))
    return Exit.DONE
