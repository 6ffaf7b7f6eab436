"""Pictures of the storyboard."""
