"""Light inside a closed box: how every opening glows, and the solver behind it."""
