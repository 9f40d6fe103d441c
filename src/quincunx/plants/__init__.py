"""The plants there are and how they grow."""
