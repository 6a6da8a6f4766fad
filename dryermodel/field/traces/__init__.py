"""A logger's file read: what was on when, and the measurements that follow, each with its accuracy."""
