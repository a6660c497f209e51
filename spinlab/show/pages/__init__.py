"""Pages that need nothing installed: one file each, answers computed ahead, and a site of lessons around them."""
