"""Where printed parts lie on the beds of a printer."""
