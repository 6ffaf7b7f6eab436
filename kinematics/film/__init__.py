"""Oil films of the journal bearings."""
