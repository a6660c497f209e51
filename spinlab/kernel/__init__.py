"""The physics of one shot: scalar functions that run compiled, as plain Python, and in a browser."""
