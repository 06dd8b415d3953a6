"""The frozen nouns that travel from one room to the next. Imports nothing of ours but errors."""
