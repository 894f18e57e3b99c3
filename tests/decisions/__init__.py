"""The furnace decisions against statistics libraries, brute force and other programs."""
