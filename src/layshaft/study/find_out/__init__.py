"""Finding out what is guessed: a test for a given, what its readings say, and whether they contradict the guess."""
