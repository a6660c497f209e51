"""What people touch: scenes declared in Python, drawn by one renderer in notebook, projector and
page."""
