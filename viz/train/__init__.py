"""The crank train: scene, curves, numbers."""
