" Vim syntax file
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
syntax match hogginJoining "\<weight\>\%(\s\+[0-9]\)\@="
syntax match hogginJoining "\%(\<require\>.*\)\@<=\<in\>\%(\s\+\h\)\@="
syntax match hogginStart "^" nextgroup=@hogginStatement skipwhite
syntax match hogginStart "[;{}]" nextgroup=@hogginStatement skipwhite
syntax match hogginJoining "\<\%(and\|as\|by\|else\|meets\|or\|source\|to\|within\)\>"
syntax match hogginFunction "\<\%(any\|free\|max\|min\|normal\|triangle\|uniform\)\>\%(\s*(\)\@="

syntax cluster hogginStatement contains=hogginFact,hogginDeclaring,hogginStating
syntax match hogginFact contained "\%(\%(and\|as\|by\|else\|meets\|or\|source\|to\|within\)\>\)\@!\<\h\w*\>
      \\%(\s*\%(->\|[-+*/^=<>!.:,;(|}]\)\)\@!"
syntax match hogginDeclaring contained "\<\%(band\|bin\|blend\|case\|choose\|class\|classifier\|conveyor\|crusher\|deck\|feed\|feeder\|grading\|grizzly_feeder\|in\|instrument\|let\|magnet\|material\|metal_detector\|model\|option\|out\|plant\|product\|pump\|screen\|section\|series\|setting\|splitter\|stockpile\|sump\|template\|thickener\)\>\%(\s*\%(->\|[.:]\)\)\@!"
syntax match hogginDeclaring contained "\<class\s\+\%(bin\|blend\|classifier\|conveyor\|crusher\|feed\|feeder\|grizzly_feeder\|instrument\|magnet\|metal_detector\|pump\|screen\|section\|splitter\|stockpile\|sump\|thickener\)\>\%(\s*[.:]\)\@!"
syntax match hogginStating contained "\<\%(maximize\|minimize\|note\|operation\|project\|require\|rule\|use\)\>\%(\s*\%(->\|[.:]\)\)\@!"

syntax match hogginArrow "->" nextgroup=hogginArrowWord skipwhite
syntax match hogginArrowWord contained "\%(product\)\>\%(\s*\%(->\|[.:]\)\)\@!"
syntax match hogginLabel "\<\h\w*\%(\s*:\)\@="
syntax match hogginAccess "\.\s*\h\w*"

syntax match hogginNumber "\<\d\+\%(\.\d\+\)\?\%([eE][+-]\?\d\+\)\?"
      \ nextgroup=hogginBadUnit,hogginUnit skipwhite
syntax match hogginBadUnit contained "\%(\%(and\|as\|else\|meets\|or\|source\|to\|weight\|within\)\>\)\@!\a\w*\%(/\a\w*\)*"
syntax match hogginUnit contained "%\|\%(\%(stph\|MPa\|deg\|ft2\|ft3\|kPa\|kWh\|min\|mm2\|rad\|rpm\|tph\|Hz\|MW\|Mt\|cm\|ft\|hp\|in\|kN\|kW\|kg\|kt\|lb\|m2\|m3\|mm\|st\|um\|N\|W\|d\|g\|h\|l\|m\|s\|t\|y\|\%(\%(CUM\|DAY\|DEG\|FPM\|HRS\|KPA\|KWH\|MIN\|MPA\|PCF\|PCT\|RAD\|RPM\|SQM\|TON\|TPH\)\>\)\@!\u\u\u\)\w\@!\)\%(/\%(\%(stph\|MPa\|deg\|ft2\|ft3\|kPa\|kWh\|min\|mm2\|rad\|rpm\|tph\|Hz\|MW\|Mt\|cm\|ft\|hp\|in\|kN\|kW\|kg\|kt\|lb\|m2\|m3\|mm\|st\|um\|N\|W\|d\|g\|h\|l\|m\|s\|t\|y\|\%(\%(CUM\|DAY\|DEG\|FPM\|HRS\|KPA\|KWH\|MIN\|MPA\|PCF\|PCT\|RAD\|RPM\|SQM\|TON\|TPH\)\>\)\@!\u\u\u\)\w\@!\)\)*\%(\w\|/\)\@!"

syntax match hogginOfClass contained "\%(:\s*\)\@<=class\s\+\%(bin\|blend\|classifier\|conveyor\|crusher\|feed\|feeder\|grizzly_feeder\|instrument\|magnet\|metal_detector\|pump\|screen\|section\|splitter\|stockpile\|sump\|thickener\)\>"
syntax region hogginGroup transparent matchgroup=NONE start="(" end=")" end="[{}]"me=s-1
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
