"""The live view: a plant's flowsheet and tables in a browser, updated whenever the file is saved.

`follow` watches the files, `live` has the last reading, `server` sends it to the browser, and
everything else turns `Results` into parts of the page. The command supplies the function that reads
a file.
"""
