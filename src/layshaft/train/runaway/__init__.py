"""What a set of shafts does when one element of it is lost: what is freed, what ends it, how fast it gets."""
