"""What the commands say as JSON: each document is a record whose members are described, which makes its schema."""
