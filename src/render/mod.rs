//! Answers to text, JSON and Markdown. No arithmetic.
