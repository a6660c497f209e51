"""The chain: club arrives → contact → launch → flight → green.  Knows records and units only."""
