"""What grows, through the years: sizes reached, crops, partners, fit, and the care it takes."""
