"""What a class hands in: folders, zips and nbgrader's exchange, read without trusting anything in them."""
