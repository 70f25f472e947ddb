"""The syntax file for Vim and Neovim, made from the compiler's words.

Of two matches that start at one place Vim takes the later, so the more special ones stand below.
"""

from __future__ import annotations

from collections.abc import Sequence

from editor_support.words import (
    IN_CASES,
    WEIGHT,
    functions,
    no_currencies,
    no_units,
    units,
    words,
)

_TEMPLATE = r"""" Vim syntax file
" Language: Hoggin (.hog)
" Made by `python -m editor_support.generate`; not to be edited by hand.

if exists('b:current_syntax')
  finish
endif
let s:cpo_save = &cpo
set cpo&vim

syntax case match
syntax iskeyword @,48-57,_
syntax sync fromstart

syntax cluster hogginExpression contains=hogginComment,hogginText,hogginOpenText,hogginNumber
syntax cluster hogginExpression add=hogginOperator,hogginArrow,hogginJoining,hogginFunction
syntax cluster hogginExpression add=hogginAccess,hogginLabel,hogginGroup

syntax match hogginOperator "[-+*/^=<>!|]"
syntax match hogginJoining "\<{weight}\>\%(\s\+[0-9]\)\@="
syntax match hogginJoining "\%(\<require\>.*\)\@<=\<{in_cases}\>\%(\s\+\h\)\@="
syntax match hogginStart "^" nextgroup=@hogginStatement skipwhite
syntax match hogginStart "[;{{}}]" nextgroup=@hogginStatement skipwhite
syntax match hogginJoining "\<\%({joining}\)\>"
syntax match hogginFunction "\<\%({functions}\)\>\%(\s*(\)\@="

syntax cluster hogginStatement contains=hogginFact,hogginDeclaring,hogginStating
syntax match hogginFact contained "\%(\%({joining}\)\>\)\@!\<\h\w*\>
      \\%(\s*\%(->\|[-+*/^=<>!.:,;(|}}]\)\)\@!"
syntax match hogginDeclaring contained "\<\%({declaring}\)\>{not_a_name}"
syntax match hogginDeclaring contained "\<class\s\+\%({kinds}\)\>\%(\s*[.:]\)\@!"
syntax match hogginStating contained "\<\%({stating}\)\>{not_a_name}"

syntax match hogginArrow "->" nextgroup=hogginArrowWord skipwhite
syntax match hogginArrowWord contained "\%({in_arrow}\)\>{not_a_name}"
syntax match hogginLabel "\<\h\w*\%(\s*:\)\@="
syntax match hogginAccess "\.\s*\h\w*"

syntax match hogginNumber "\<\d\+\%(\.\d\+\)\?\%([eE][+-]\?\d\+\)\?"
      \ nextgroup=hogginBadUnit,hogginUnit skipwhite
syntax match hogginBadUnit contained "\%(\%({no_units}\)\>\)\@!\a\w*\%(/\a\w*\)*"
syntax match hogginUnit contained "%\|{unit}\%(/{unit}\)*\%(\w\|/\)\@!"

syntax match hogginOfClass contained "\%(:\s*\)\@<=class\s\+\%({kinds}\)\>"
syntax region hogginGroup transparent matchgroup=NONE start="(" end=")" end="[{{}}]"me=s-1
      \ contains=@hogginExpression,hogginOfClass
syntax match hogginOpenText +"[^"]*$+
syntax match hogginText +"[^"]*"+
syntax match hogginComment "#.*$" contains=@Spell

highlight default link hogginDeclaring Type
highlight default link hogginOfClass Type
highlight default link hogginStating Statement
highlight default link hogginJoining Keyword
highlight default link hogginArrowWord Type
highlight default link hogginFunction Function
highlight default link hogginFact Identifier
highlight default link hogginNumber Number
highlight default link hogginUnit Special
highlight default link hogginBadUnit Error
highlight default link hogginArrow Operator
highlight default link hogginOperator Operator
highlight default link hogginText String
highlight default link hogginOpenText Error
highlight default link hogginComment Comment

let b:current_syntax = 'hoggin'
let &cpo = s:cpo_save
unlet s:cpo_save
"""


def vim_syntax() -> str:
    known = words()
    return _TEMPLATE.format(
        not_a_name=r"\%(\s*\%(->\|[.:]\)\)\@!",
        declaring=_openers(known.declaring),
        stating=_openers(known.stating),
        joining=_either(known.joining),
        kinds=_either(known.kinds),
        in_arrow=_either(known.in_arrow),
        weight=WEIGHT,
        in_cases=IN_CASES,
        functions=_either(functions()),
        no_units=_either(no_units()),
        unit=_unit(),
    )


def _unit() -> str:
    """A base unit or a currency; one that another word goes on from is none."""
    named = _either([unit for unit in units() if unit != "%"])
    no_money = _either(no_currencies())
    return rf"\%(\%({named}\|\%(\%({no_money}\)\>\)\@!\u\u\u\)\w\@!\)"


def _openers(alternatives: Sequence[str]) -> str:
    names_there = words().never_blocks
    return _either(
        [word + r"\>\%(\s*{\)\@!" if word in names_there else word for word in alternatives]
    )


def _either(alternatives: Sequence[str]) -> str:
    return r"\|".join(alternatives)
