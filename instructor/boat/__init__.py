"""`wetslip boat`: what a person who writes a boat file wants to know of it."""
