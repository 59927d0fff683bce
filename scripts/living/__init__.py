"""Tasks lived in a real terminal, and pictures of it; used by scripts/tasks.py and scripts/pictures.py."""
