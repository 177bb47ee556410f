"""The desk: a page on this machine where a circuit, its text and its working lie side by side."""
