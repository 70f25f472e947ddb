"""Colours of `.hog` text on the site: each word is what the compiler's own reader says it is."""

from __future__ import annotations

from collections.abc import Iterator

from pygments.lexer import Lexer
from pygments.token import Token, _TokenType

from hoggin.handbook.colours import coloured

_KINDS = {
    "keyword": Token.Keyword,
    "comment": Token.Comment.Single,
    "text": Token.String,
    "number": Token.Number,
    "sign": Token.Operator,
    "": Token.Text,
    "fact": Token.Name.Attribute,
}


class HogLexer(Lexer):
    """The language of plants, by the names that a fence in Markdown may have."""

    name = "Hoggin"
    aliases = ("hog",)
    filenames = ("*.hog",)

    def get_tokens_unprocessed(self, text: str) -> Iterator[tuple[int, _TokenType, str]]:
        place = 0
        for kind, part in coloured(text):
            yield place, _KINDS[kind], part
            place += len(part)
