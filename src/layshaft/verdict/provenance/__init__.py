"""Where the inputs of a sheet come from: steps from givens, one line from the solved train, and guesses further up."""
