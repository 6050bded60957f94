"""The text twin of a notebook: its cells without outputs, to be read and reviewed line by line. Needs Python alone."""
