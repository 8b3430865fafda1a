"""The desk: a local page where the keeper's whole job can be done in a browser.

It calls what the commands call and holds no logic of the trade. `app.py` lists its places, a module
each; `pages.py` has what every place needs.
"""
