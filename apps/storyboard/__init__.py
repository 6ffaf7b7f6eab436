"""The storyboard: steps, files, scenes."""
