"""The live view: a plant's flowsheet and tables in a browser, updated whenever the file is saved.

`follow` watches the files, `live` holds what the last reading gave, `server` hands it to the
browser, and all else turns `Results` into parts of the page. How a file is read is the command's
business: `live` is given a function for it.
"""
