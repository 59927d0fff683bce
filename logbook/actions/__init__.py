"""What an owner can ask for: fetch records, ask the heat model, keep, hand back."""
