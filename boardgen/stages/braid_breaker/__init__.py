"""The braid breaker of a strip: a transformer that stops common-mode current."""
