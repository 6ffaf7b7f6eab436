"""Lessons: files, rules, bench."""
