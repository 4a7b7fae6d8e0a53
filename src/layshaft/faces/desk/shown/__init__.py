"""What the rooms show, worked out from a state of the draft; nothing here answers an address."""
