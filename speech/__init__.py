"""Hearing and speaking, in a child process, one JSON object per line. Imports nothing of ours.

``python -m speech`` is the child; ``speech.messages`` says what it understands and what it tells.
"""
