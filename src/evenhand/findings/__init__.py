"""Two setups into a finding: ahead, behind, level or unsettled, and why. Rounds nothing."""
