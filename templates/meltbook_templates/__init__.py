"""Studios to start from, and the words and colours of the sheets: data, read with ``importlib.resources``."""
