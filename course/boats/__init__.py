"""What a slip is made of: descriptions of boats and berths, turned into engine systems."""
