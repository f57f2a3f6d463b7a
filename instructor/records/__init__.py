"""What a class keeps and passes on: backup, export, appeals, and who did what when."""
