"""The page's browser components: what passes between Python and the JavaScript of viz.browser."""
