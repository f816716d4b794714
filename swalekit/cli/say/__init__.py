"""What the commands say of their results on standard output, a file a command."""
