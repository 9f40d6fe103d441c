"""The board in a real browser, answered by a stand-in for the program."""
