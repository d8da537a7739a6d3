"""What leaves the program to be read: one document (`content`), put into words for browser, paper and plain text.

`document` declares what a document is made of, `content` makes it from a plan, and `html`, `markdown` and `pdf` render it. A
renderer knows nothing of plans; the content knows nothing of renderers.
"""
