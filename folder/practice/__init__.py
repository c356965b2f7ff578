"""What real builds did: the trial log and what can be counted on."""
