"""What the terminal and the page share of asking: questions, readers, and the answers in words."""
