"""What stands under "More" beside the tools."""
