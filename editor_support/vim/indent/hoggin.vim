" Vim indent file
" Language: Hoggin (.hog)

" No look at b:did_indent: see ftplugin/hoggin.vim.
let b:did_indent = 1

setlocal indentexpr=HogginIndent(v:lnum)
setlocal indentkeys=0{,0},0),!^F,o,O
let b:undo_indent = 'setlocal indentexpr< indentkeys<'

if exists('*HogginIndent')
  finish
endif

" A line stands one level deeper for each bracket that the line before leaves open, and one less for
" each that it begins by closing.
function! HogginIndent(number) abort
  let l:before = prevnonblank(a:number - 1)
  if l:before == 0
    return 0
  endif
  let l:above = s:Bare(getline(l:before))
  let l:opened = s:Count(l:above, '[{(]') - s:Count(substitute(l:above, '^[ \t})]*', '', ''), '[})]')
  let l:closed = matchstr(getline(a:number), '^[ \t]*\zs[})]') !=# '' ? 1 : 0
  return max([0, indent(l:before) + (l:opened - l:closed) * shiftwidth()])
endfunction

" A line without its texts and comment.
function! s:Bare(line) abort
  return substitute(substitute(a:line, '"[^"]*"', '', 'g'), '#.*$', '', '')
endfunction

function! s:Count(line, pattern) abort
  return len(split(a:line, a:pattern, 1)) - 1
endfunction
