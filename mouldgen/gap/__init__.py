"""The gap between insert and bore: the rules, one a file, and the budget that combines them."""
