"""The bench: a plant's text in the browser, with its flowsheet, verdicts and tables beside it.

`draft` has one file's text as it is written, `opened` shows what it means, `language` answers the
page's editor, `folder` knows the files, `exporting` makes the documents, and `server` sends all of
it to the browser. The page's editor is built by `editor_support/bench`.
"""
