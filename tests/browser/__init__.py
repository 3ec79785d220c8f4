"""The browser that shows cards and pages to the tests: which one, and how it is had."""
