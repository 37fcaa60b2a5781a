"""The notebook: entries that only grow, kept in one file, merged by set union; it knows nothing of any formula."""
