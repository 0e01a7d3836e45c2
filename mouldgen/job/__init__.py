"""What the maker says: job file, shop file, cards, and all that can be wrong with them."""
