"""The bridge between the child process that hears and speaks, and the front ends."""
