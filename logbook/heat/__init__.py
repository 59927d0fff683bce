"""The heat model: pure, no clock, file, database, screen or hidden dice."""
