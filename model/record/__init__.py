"""What lies on the user's disk: design files and the recovery journal. The only room of the model that touches it."""
