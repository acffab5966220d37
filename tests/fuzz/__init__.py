"""Inputs nobody would send on purpose, and what must hold whatever comes.

`python -m tests.fuzz NAME --minutes 10` hunts for long, guided by which branches an input reached;
the tests here replay every seed that was kept and hunt for a few seconds more.
"""
