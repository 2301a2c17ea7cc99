"""An invented practice, charted through the public interface with a fixed seed and a fixed clock."""
