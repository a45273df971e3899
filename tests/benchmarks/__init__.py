"""Speed and memory, measured by ``python -m tests.benchmarks``; nothing here is a test."""
