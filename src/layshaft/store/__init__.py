"""What a project keeps beside its machine file: imported lists, found again in a moment."""
