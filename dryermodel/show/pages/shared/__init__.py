"""What the pages share: how a file is put together, its head, its styles and its scripts."""
