"""The pages of the app, each a function from what is known to styled rows."""
