" `set`, for Vim itself takes the ending for another kind of file.
autocmd BufRead,BufNewFile *.hog set filetype=hoggin
