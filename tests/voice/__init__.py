"""The recorded voice: what the phone can say, made from text by a synthesiser."""
