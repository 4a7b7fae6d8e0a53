"""What people do with a solved machine before they buy: carry its doubt, compare, choose."""
