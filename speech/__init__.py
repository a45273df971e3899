"""Hearing and speaking will live here, in a child process, one JSON object per line. Imports nothing of ours."""
