"""`wetslip checks`: the engine held to the outside world."""
