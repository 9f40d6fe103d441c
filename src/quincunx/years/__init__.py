"""The order of works: what is done when, for the most use of the money and the weekends there are."""
