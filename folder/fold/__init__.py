"""The sheet in the hand: does it close, where does every face go, what stands in the way."""
