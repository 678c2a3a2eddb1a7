"""What goes out: snapshots, cards, articles, scripts, bundles, and what a change touches."""
