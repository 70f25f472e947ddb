"""Other projects' files, each with its licence beside it, as they were published."""
