"""Facts worth asking, the words that ask them, and the syllabus that lists them."""
