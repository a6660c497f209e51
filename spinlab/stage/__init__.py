"""Where lessons are read and shown: the site."""
