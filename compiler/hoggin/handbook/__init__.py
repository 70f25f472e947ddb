"""The documentation's pages, offline: which there are, and each as HTML for a browser.

The pages are the Markdown files of `docs/`; `docs/index.md` lists them for every reader, so that
the list stands in one place.
"""
