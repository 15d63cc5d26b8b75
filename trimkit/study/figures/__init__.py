"""Pictures beside the labs, and the panels that labs share."""
