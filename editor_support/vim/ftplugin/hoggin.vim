" Vim filetype plugin
" Language: Hoggin (.hog)

" No look at b:did_ftplugin: Vim takes the ending for another kind of file first, and that one sets
" it without a way to undo it.
let b:did_ftplugin = 1

" The language's one layout: two spaces per level, `#` for comments. `gggqG` formats the whole file.
setlocal comments=:# commentstring=#\ %s
setlocal iskeyword=@,48-57,_
setlocal expandtab shiftwidth=2 softtabstop=2
setlocal formatprg=hoggin\ format\ -

let b:undo_ftplugin = 'setlocal comments< commentstring< iskeyword< expandtab< shiftwidth< softtabstop< formatprg<'
