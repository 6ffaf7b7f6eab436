"""The pictures: a result in, a figure or a browser component out; no physics."""
